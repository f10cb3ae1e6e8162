import type { WorkAsked } from '../../../server/protocol.ts';
import type { Work } from '../../../shared/tables/work.ts';
import { html } from './element.ts';
import { roving, stopAt } from './roving.ts';

/** What the buttons above the grid do. */
export interface ToolbarEvents {
  /** Begin to type; undefined edits the text of the cell. */
  type(text: string | undefined): void;
  /** Ask about a change of the selected cells, or of the breakpoint of the cursor's column (x) or row (y). */
  ask(work: Work | WorkAsked, axis?: 'x' | 'y'): void;
  step(which: 'undo' | 'redo'): void;
}

/** The buttons for what can be done with the selected cells. Each says the key that does the same, if there is one. */
export function toolbar(events: ToolbarEvents): HTMLElement {
  const button = (label: string, title: string, act: () => void): HTMLElement => {
    const made = html('button', { type: 'button', title, tabindex: -1 }, label);
    made.addEventListener('click', act);
    return made;
  };
  const bar = html(
    'div',
    { class: 'buttons', role: 'toolbar', 'aria-label': 'Change the selected cells' },
    button('Set', 'Type a value (F2, Enter or just a digit)', () => events.type(undefined)),
    button('Add', 'Type an amount to add (+)', () => events.type('+')),
    button('Scale', 'Type a factor (*)', () => events.type('*')),
    button('Fill', 'Fill between the corners of the selection', () => events.ask({ kind: 'fill' })),
    button('Smooth', 'Move each selected cell halfway to the value interpolated between its neighbours', () =>
      events.ask({ kind: 'smooth' }),
    ),
    button('Insert column', 'Insert a breakpoint after this column', () =>
      events.ask({ kind: 'insert', axis: 'x' }, 'x'),
    ),
    button('Insert row', 'Insert a breakpoint after this row', () =>
      events.ask({ kind: 'insert', axis: 'y' }, 'y'),
    ),
    button('Delete column', 'Delete the breakpoint of this column', () =>
      events.ask({ kind: 'delete' }, 'x'),
    ),
    button('Delete row', 'Delete the breakpoint of this row', () => events.ask({ kind: 'delete' }, 'y')),
    button('Undo', 'Undo in the text (Ctrl+Z)', () => events.step('undo')),
    button('Redo', 'Redo in the text (Ctrl+Y)', () => events.step('redo')),
  );
  const buttons = [...bar.querySelectorAll('button')];
  // One stop of the Tab key; the arrow keys move inside of it.
  roving(bar, () => [buttons]);
  stopAt(bar, buttons[0]!);
  return bar;
}
