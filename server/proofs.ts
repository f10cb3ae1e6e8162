import type { Analysis } from '../shared/analysis.ts';
import type { EngineSubject } from '../shared/checks/check.ts';
import { sameItems } from '../shared/configuration/same-value.ts';
import { type LimitedBound, limitedBounds, READ_BY_BOUNDS } from '../shared/limits/verdict.ts';
import { BRIEF, Proof } from '../shared/proof/proof.ts';
import type { Proved } from './bound-words.ts';

/** The pause in typing, in ms, after which bounds are searched. */
const QUIET_MS = 500;
/** The documents whose bounds are kept. */
const MOST_KEPT = 8;

interface Kept {
  readonly parts: readonly unknown[];
  readonly bounds: readonly LimitedBound[];
}

/**
 * The bounds of the open documents. They are searched when somebody asks for them and typing pauses, bit by bit, so that
 * requests are answered in between.
 */
export class Proofs {
  readonly #analysisOf: (uri: string) => Analysis | undefined;
  readonly #kept = new Map<string, Kept>();
  readonly #awaited = new Set<string>();
  #timer: NodeJS.Timeout | undefined;
  /** Increases with each change of a text, which ends the search that is running. */
  #texts = 0;
  /** Called when the bounds of a document are known, or are no longer those from before the last edit. */
  onChange: (uri: string) => void = () => {};
  onError: (error: unknown) => void = () => {};

  constructor(
    analysisOf: (uri: string) => Analysis | undefined,
    readonly quiet = QUIET_MS,
  ) {
    this.#analysisOf = analysisOf;
  }

  /** The bounds known of a document; undefined if there are none yet. If they are not current, they will be searched. */
  of(uri: string): Proved | undefined {
    const analysis = this.#analysisOf(uri);
    if (!analysis?.derivation) return undefined;
    const kept = this.#kept.get(uri);
    if (kept && sameItems(kept.parts, partsOf(analysis))) return { bounds: kept.bounds, isCurrent: true };
    this.#awaited.add(uri);
    if (!this.#timer) this.#start();
    // The places of an earlier text are not those of this one.
    const unplaced = kept?.bounds.map((bound) => ({ ...bound, limit: { ...bound.limit, node: undefined } }));
    return unplaced && { bounds: unplaced, isCurrent: false };
  }

  /** Must be called when a text changes: the search waits for the next pause. */
  postpone(): void {
    this.#texts++;
    if (this.#awaited.size > 0) this.#start();
  }

  forget(uri: string): void {
    this.#kept.delete(uri);
    this.#awaited.delete(uri);
  }

  #start(): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#search(), this.quiet);
    this.#timer.unref();
  }

  async #search(): Promise<void> {
    const texts = this.#texts;
    for (const uri of this.#awaited) {
      const analysis = this.#analysisOf(uri);
      const bounds: LimitedBound[] = [];
      if (analysis?.derivation) {
        const steps = limitedBounds(proofOf(analysis.derivation), analysis.subject as EngineSubject);
        try {
          for (const bound of steps) {
            bounds.push(bound);
            await new Promise((resolve) => setImmediate(resolve));
            if (texts !== this.#texts) return;
          }
        } catch (error) {
          this.onError(error);
        }
        this.#keep(uri, { parts: partsOf(analysis), bounds });
      }
      this.#awaited.delete(uri);
    }
    this.#timer = undefined;
  }

  #keep(uri: string, found: Kept): void {
    const before = this.#kept.get(uri);
    this.#kept.delete(uri);
    this.#kept.set(uri, found);
    for (const oldest of this.#kept.keys()) if (this.#kept.size > MOST_KEPT) this.#kept.delete(oldest);
    if (found.bounds.length > 0 || before) this.onChange(uri);
  }
}

/** A search that was interrupted goes on with the bounds that it has found. */
const proofs = new WeakMap<object, Proof>();

function proofOf(derivation: NonNullable<Analysis['derivation']>): Proof {
  const known = proofs.get(derivation) ?? new Proof(derivation, BRIEF);
  proofs.set(derivation, known);
  return known;
}

/** What bounds depend on. Unchanged parts of a text stay the same objects. */
function partsOf({ installation }: Analysis): unknown[] {
  const { selectable, controller } = installation!;
  const sections = selectable.flatMap(({ configuration }) =>
    [...READ_BY_BOUNDS].map((name) => configuration[name]),
  );
  return [controller, ...sections];
}
