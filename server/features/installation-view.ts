import type { Analysis } from '../../shared/analysis.ts';
import { boundKey, type Proved } from '../bound-words.ts';
import type { Editor } from '../editor.ts';
import { writtenText } from '../formats/report-html/written.ts';
import type { Workspace } from '../workspace.ts';
import { addedState } from './bound-state.ts';
import { answerCustom, type Feature } from './feature.ts';
import { explanationOf } from './installation-explanation.ts';
import { boundsView } from './installation-view-bounds.ts';
import { planView } from './installation-view-pins.ts';
import { placesOf } from './installation-view-places.ts';
import { sensorViews } from './installation-view-sensors.ts';
import type { InstallationView } from './installation-view-types.ts';
import { valuesView } from './installation-view-values.ts';

export const installationViews: Feature = {
  capabilities: {},
  listen: (connection, { from }) => {
    answerCustom(
      connection,
      'enginewright/installationView',
      from((analysis, _, editor, workspace) => {
        const engine = engineOf(analysis, workspace);
        return installationViewOf(engine, editor, provedOf(engine, workspace));
      }),
    );
    answerCustom(
      connection,
      'enginewright/explanation',
      from((analysis, { asked }, editor, workspace) => {
        const engine = engineOf(analysis, workspace);
        const bounds = provedOf(engine, workspace)?.bounds;
        return explanationOf(engine, asked, editor.settings.units, placesOf(engine, editor), bounds);
      }),
    );
    answerCustom(
      connection,
      'enginewright/addedState',
      from((analysis, { value }, editor, workspace) => {
        const engine = engineOf(analysis, workspace);
        const bound = provedOf(engine, workspace)?.bounds.find((one) => boundKey(one) === value);
        return bound ? addedState(engine, bound, editor) : null;
      }),
    );
  },
};

/** The installation of an analysis as the panel shows it; null for a controller file that no engine file uses. */
export function installationViewOf(
  analysis: Analysis,
  editor: Editor,
  proved?: Proved,
): InstallationView | null {
  const { installation, derivation, file } = analysis;
  if (!installation || !derivation) return null;
  const { units, severities } = editor.settings;
  const placeOf = placesOf(analysis, editor);
  return {
    title: writtenText(installation.configuration.title) || file.path.slice(file.path.lastIndexOf('/') + 1),
    values: valuesView(derivation, units, placeOf),
    plan: planView(analysis, installation, severities, placeOf),
    sensors: sensorViews(installation, units, placeOf),
    bounds: boundsView(derivation, proved, placeOf),
  };
}

/** The bounds of an engine file that is open. */
const provedOf = ({ file }: Analysis, workspace: Workspace): Proved | undefined =>
  workspace.proofs.of(workspace.uriOf(file.path));

/** For a controller file, the analysis of an engine file that uses it. */
export function engineOf(analysis: Analysis, workspace: Workspace): Analysis {
  if (analysis.installation) return analysis;
  const [engine] = workspace.enginesWith(analysis.file.path);
  return (engine !== undefined ? workspace.analysisOf(engine) : undefined) ?? analysis;
}
