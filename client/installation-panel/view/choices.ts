import type { Place, ValueAsked } from '../../../server/features/installation-view-types.ts';
import type { PageName } from '../messages.ts';
import type { Order } from './order.ts';

/** The user's choices. They are kept while the text changes and while the panel is hidden. */
export interface Choices {
  readonly page: PageName;
  /** Words that the label of a value must contain. */
  readonly filter: string;
  readonly pointOrder: Order | null;
  readonly wholeOrder: Order | null;
  readonly boundOrder: Order | null;
  readonly asked: ValueAsked | null;
  /** A pin as `CONNECTOR PIN`. */
  readonly pin: string | null;
  readonly isPlanListed: boolean;
  readonly sensor: string | null;
}

export const NO_CHOICES: Choices = {
  page: 'values',
  filter: '',
  pointOrder: null,
  wholeOrder: null,
  boundOrder: null,
  asked: null,
  pin: null,
  isPlanListed: false,
  sensor: null,
};

/** What a page can do besides drawing itself. */
export interface Host {
  readonly choices: Choices;
  /** Stores a choice and redraws. */
  choose(changed: Partial<Choices>): void;
  explain(asked: ValueAsked): void;
  go(place: Place): void;
  /** Adds the state of a bound as an operating point. */
  addState(value: string): void;
}
