import { circuitsOf } from '../../../shared/derived/circuits.ts';
import { type CircuitGroup, circuitGroups } from '../../../shared/harness/groups.ts';
import { harnessSvg } from '../../harness-svg.ts';
import { html } from '../../html.ts';
import type { PaperSource } from '../report-html/dossier.ts';
import type { Part } from './paper.ts';

/** The harness as drawings of a size that can be printed: one for each connector of the controller, one for the rest. */
export function drawingPart({ analysis: { installation } }: PaperSource): Part | undefined {
  const { configuration } = installation;
  const groups = circuitGroups(circuitsOf(configuration));
  if (groups.length === 0) return undefined;
  return {
    title: 'Harness drawing',
    body: [
      html`<p>Lines are circuits, named at the controller, the aircraft and the splices; on a screen the pointer shows the whole
circuit. A drawing shows only the pins,
positions and terminals of its own circuits. Colours only tell neighbouring lines apart.</p>`,
      ...groups.map(
        (group) => html`<figure class="drawing"><figcaption><strong>${titleOf(group)}</strong></figcaption>
${harnessSvg(configuration, group.circuits)}</figure>\n`,
      ),
    ],
  };
}

function titleOf({ controller, connector }: CircuitGroup): string {
  if (controller === undefined) return 'Supply and devices';
  const words = controller === 'standby' ? 'Standby controller' : 'Controller';
  return `${words}${connector && ` connector ${connector}`}, with all that is spliced to it`;
}
