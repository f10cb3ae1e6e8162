import { stringify } from 'yaml';

/** What is known of an installation before its file is begun, each as it was typed. Unknown is left out. */
export interface Answers {
  readonly title?: string | undefined;
  readonly cylinders?: string | undefined;
  readonly bore?: string | undefined;
  readonly stroke?: string | undefined;
  /** Whether a compressor feeds the engine. */
  readonly boosted?: boolean | undefined;
  /** The path of the controller file, as the engine file is to have it. */
  readonly controller?: string | undefined;
}

export type Question = Exclude<keyof Answers, 'boosted'>;

/** A typed answer as a value of YAML that reads back as exactly this text, or as this whole number. */
export function valueText(question: Question, answer: string): string {
  const text = answer.replaceAll(/\s+/g, ' ').trim();
  if (question === 'cylinders' && /^\d+$/.test(text)) return text;
  return stringify(text, { lineWidth: 0 }).trimEnd();
}
