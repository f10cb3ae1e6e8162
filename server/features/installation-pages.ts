import type { Analysis } from '../../shared/analysis.ts';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { nodeOf } from '../../shared/configuration/values.ts';
import { circuitsOf } from '../../shared/derived/circuits.ts';
import { SEVERITIES } from '../../shared/faults/severity.ts';
import { faultTable, faultTableInSteps } from '../../shared/faults/table.ts';
import { keyOf } from '../../shared/source/source-file.ts';
import type { Node } from '../../shared/source/tree.ts';
import type { Editor } from '../editor.ts';
import { bySeverity, effectTexts, lostText, severityCounts, shownText } from '../fault-words.ts';
import { harnessSvg } from '../harness-svg.ts';
import { plainText } from '../plain-text.ts';
import type { AboutDocument } from '../protocol.ts';
import { inSlices } from '../turns.ts';
import { answerCustom, type Feature } from './feature.ts';
import { engineOf } from './installation-view.ts';
import { type PlaceOf, placesOf } from './installation-view-places.ts';
import type { FaultTableView, HarnessView, Place } from './installation-view-types.ts';

/** The pages of the installation panel that are requested only while they are shown. */
export const installationPages: Feature = {
  capabilities: {},
  listen: (connection, { from }) => {
    answerCustom(
      connection,
      'enginewright/harness',
      from((analysis, _, editor, workspace) => harnessView(engineOf(analysis, workspace), editor)),
    );
    answerCustom(
      connection,
      'enginewright/faults',
      from<AboutDocument, FaultTableView>(
        (analysis, _, editor, workspace) => faultTableView(engineOf(analysis, workspace), editor),
        async ({ textDocument: { uri } }, _, workspace, isStopped) => {
          const analysis = workspace.analysis(uri);
          const engine = analysis && engineOf(analysis, workspace);
          if (engine?.derivation)
            await inSlices(faultTableInSteps(engine.subject as EngineSubject), () => !isStopped());
        },
      ),
    );
  },
};

/** The harness drawing of an analysis; null for a controller file that no engine file uses. */
export function harnessView(analysis: Analysis, editor: Editor): HarnessView | null {
  const { installation } = analysis;
  if (!installation) return null;
  const { configuration } = installation;
  const placeOf = placesOf(analysis, editor);
  const circuits = circuitsOf(configuration);
  return {
    svg: circuits.length > 0 ? harnessSvg(configuration).text : null,
    circuits: circuits.map(({ name, circuit }) => ({
      text: name,
      place: keyPlace(nodeOf(circuit), placeOf),
    })),
  };
}

/** The place of the key of a node: a line that a reader looks for by its name. */
function keyPlace(node: Node | undefined, placeOf: PlaceOf): Place | null {
  const [whole, key] = [placeOf(node), placeOf(node && keyOf(node))];
  return whole && key ? { ...key, name: whole.name } : whole;
}

/** The fault table of an analysis; null for a controller file that no engine file uses. */
export function faultTableView(analysis: Analysis, editor: Editor): FaultTableView | null {
  if (!analysis.installation || !analysis.derivation) return null;
  const rows = faultTable(analysis.subject as EngineSubject);
  const placeOf = placesOf(analysis, editor);
  return {
    summary: severityCounts(rows),
    rows: bySeverity(rows).flatMap(([severity, own]) =>
      own.map((row) => ({
        ...{
          text: row.of,
          place: keyPlace(row.node, placeOf),
          how: row.how,
          severity,
          meaning: SEVERITIES[severity],
        },
        effects: [
          ...row.reasons.map((reason) => plainText(reason)),
          ...effectTexts(row),
          ...(row.stated === undefined ? [] : [`Stated: ${row.stated}`]),
        ],
        lost: lostText(row),
        shownBy: shownText(row),
      })),
    ),
  };
}
