import { stringify } from 'yaml';

/** The answers from which an engine file is generated, each as typed. Unknown answers are omitted. */
export interface Answers {
  readonly title?: string | undefined;
  readonly cylinders?: string | undefined;
  readonly bore?: string | undefined;
  readonly stroke?: string | undefined;
  /** Whether the engine is turbocharged. */
  readonly boosted?: boolean | undefined;
  /** The path of the controller file, relative to the engine file. */
  readonly controller?: string | undefined;
}

export type Question = Exclude<keyof Answers, 'boosted'>;

/** An answer as a YAML value that parses as exactly this text, or as this whole number. */
export function valueText(question: Question, answer: string): string {
  const text = answer.replaceAll(/\s+/g, ' ').trim();
  if (question === 'cylinders' && /^\d+$/.test(text)) return text;
  return stringify(text, { lineWidth: 0 }).trimEnd();
}
