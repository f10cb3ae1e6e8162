import { workTyped } from '../../../shared/tables/typed.ts';
import type { Work } from '../../../shared/tables/work.ts';
import { html } from './element.ts';

/** What the line above the grid asks of the panel. */
export interface EntryEvents {
  /** The change that is typed, or null when it is given up. */
  preview(work: Work | null): void;
  /** The change is wanted; the cursor moves on in this direction, if only one cell is selected. */
  change(work: Work, moves: 'down' | 'right'): void;
  /** The keyboard goes back to the grid. */
  leave(): void;
}

const HELP =
  'Type a value, or +2 to add, +-2 to subtract, *1.05 or +5 % to scale, /2 to divide. Enter applies it, Escape cancels.';

/** The line in which a new value of the selected cells, or what to do with them, is typed and previewed. */
export class Entry {
  readonly field = html('input', {
    class: 'entry',
    type: 'text',
    'aria-label': 'New value of the selected cells',
    title: HELP,
    autocomplete: 'off',
    spellcheck: 'false',
  });
  readonly words = html('p', { class: 'note preview', role: 'status' }, HELP);
  #isTyping = false;
  #held = '';

  constructor(events: EntryEvents) {
    const { field } = this;
    field.addEventListener('input', () => {
      this.#isTyping = true;
      events.preview(field.value.trim() === '' ? null : workTyped(field.value));
    });
    field.addEventListener('keydown', (event) => {
      const { key } = event;
      if (key !== 'Enter' && key !== 'Tab' && key !== 'Escape') return;
      // Tab leaves an untouched line as it leaves any field.
      if (key === 'Tab' && (!this.#isTyping || event.shiftKey)) return;
      event.preventDefault();
      const { value } = field;
      const wasTyping = this.#isTyping;
      this.#stop();
      if (key === 'Escape') events.preview(null);
      else if (wasTyping && value.trim() !== '')
        events.change(workTyped(value), key === 'Enter' ? 'down' : 'right');
      events.leave();
    });
    field.addEventListener('blur', () => {
      if (!this.#isTyping) return;
      this.#stop();
      events.preview(null);
    });
  }

  get isTyping(): boolean {
    return this.#isTyping;
  }

  /** Shows the cell of the cursor, unless something is being typed. */
  hold(text: string): void {
    this.#held = text;
    if (!this.#isTyping) this.field.value = text;
  }

  /** Begins with a text, or with the text of the cell to edit it. */
  begin(text: string | undefined): void {
    this.field.focus();
    if (text === undefined) {
      this.field.select();
    } else {
      this.field.value = text;
      this.field.dispatchEvent(new Event('input'));
    }
  }

  /** Says what the change would do, what was done or why it cannot be done; null says what can be typed. */
  say(words: string | null, isRefused: boolean): void {
    this.words.textContent = words ?? HELP;
    this.words.classList.toggle('broken', isRefused);
  }

  #stop(): void {
    this.#isTyping = false;
    this.field.value = this.#held;
  }
}
