import * as vscode from 'vscode';
import type { Position } from 'vscode-languageclient';
import type { ShowPlacesArguments } from '../server/protocol.ts';

/** The command of a lens that leads to several places. It is not in any menu. */
export const showPlacesCommand = 'enginewright.showPlaces';

/** Shows places, given as in the protocol, in a list at a position. */
export async function showPlaces(...[uri, position, places]: ShowPlacesArguments): Promise<void> {
  const at = ({ line, character }: Position) => new vscode.Position(line, character);
  const locations = places.map(
    (place) =>
      new vscode.Location(
        vscode.Uri.parse(place.uri),
        new vscode.Range(at(place.range.start), at(place.range.end)),
      ),
  );
  const document = vscode.Uri.parse(uri);
  await vscode.commands.executeCommand('editor.action.showReferences', document, at(position), locations);
}
