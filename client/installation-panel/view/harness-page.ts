import type { HarnessView, Link } from '../../../server/features/installation-view-types.ts';
import { html } from '../../map-panel/view/element.ts';
import type { Host } from './choices.ts';

const HINT =
  'Point at a line for its circuit; select it, or choose one with the arrow keys and press Enter, to go to it in the text.';

/** The harness drawing: every circuit leads to its line. Undefined until the drawing has arrived. */
export function harnessPage(harness: HarnessView | null | undefined, host: Host): HTMLElement[] {
  if (!harness)
    return [html('p', { class: 'note' }, harness === undefined ? 'Loading…' : 'No installation.')];
  if (harness.svg === null) {
    return [
      html(
        'p',
        { class: 'note' },
        'The file has no circuits (harness.circuits), so there is nothing to draw.',
      ),
    ];
  }
  const drawing = drawingOf(harness.svg, harness.circuits, host);
  return [html('p', { class: 'note' }, HINT), html('div', { class: 'scroll whole drawing' }, drawing)];
}

/** The server writes the drawing and escapes every text in it. */
function drawingOf(text: string, circuits: readonly Link[], host: Host): Element {
  const { documentElement } = new DOMParser().parseFromString(text, 'image/svg+xml');
  const drawing = document.importNode(documentElement, true);
  const placeOf = new Map(circuits.map(({ text: name, place }) => [name, place]));
  const groups = [...drawing.querySelectorAll<SVGGElement>('.circuit')];
  groups.forEach((group, i) => {
    const name = group.getAttribute('data-circuit')!;
    const place = placeOf.get(name);
    group.setAttribute('role', 'link');
    group.setAttribute('data-key', name);
    group.setAttribute('tabindex', i === 0 ? '0' : '-1');
    group.addEventListener('click', () => place && host.go(place));
    group.addEventListener('keydown', (event) => {
      if (event.key === 'Enter' || event.key === ' ') {
        if (place) host.go(place);
      } else if (!move(groups, i, event.key)) return;
      event.preventDefault();
    });
    group.addEventListener('focus', () => stopAt(groups, group));
  });
  return drawing;
}

/** Moves the focus along the circuits, in the order of the file; false for other keys. */
function move(groups: readonly SVGGElement[], from: number, key: string): boolean {
  const to = {
    ArrowDown: from + 1,
    ArrowRight: from + 1,
    ArrowUp: from - 1,
    ArrowLeft: from - 1,
    Home: 0,
    End: groups.length - 1,
  }[key];
  if (to === undefined) return false;
  groups[Math.min(groups.length - 1, Math.max(0, to))]!.focus();
  return true;
}

function stopAt(groups: readonly SVGGElement[], stop: SVGGElement): void {
  for (const group of groups) group.setAttribute('tabindex', group === stop ? '0' : '-1');
}
