import * as intervals from './interval.ts';

/**
 * Parses the printed notation of formulas (`m_a / (AFR · λ)`) into a tree, so that numbers, bounds and slopes are
 * computed from the same text that is shown.
 */
export type Expression =
  | { readonly type: 'number'; readonly value: number }
  | { readonly type: 'symbol'; readonly name: string }
  | { readonly type: 'operation'; readonly operation: OneOperand; readonly operands: readonly [Expression] }
  | {
      readonly type: 'operation';
      readonly operation: TwoOperands;
      readonly operands: readonly [Expression, Expression];
    };

const ONE_OPERAND = ['negate', 'exp', 'ln', 'root', 'absolute', 'floor'] as const;
const TWO_OPERANDS = ['add', 'subtract', 'multiply', 'divide', 'power', 'minimum', 'maximum'] as const;
export type OneOperand = (typeof ONE_OPERAND)[number];
export type TwoOperands = (typeof TWO_OPERANDS)[number];
export type Operation = OneOperand | TwoOperands;

/** Every operation. The place of each one is its code in a program. */
export const OPERATIONS: readonly Operation[] = [...TWO_OPERANDS, ...ONE_OPERAND];

/** The operations on numbers, intervals, or numbers with slopes. */
export interface Arithmetic<T>
  extends Record<OneOperand, (a: T) => T>,
    Record<TwoOperands, (a: T, b: T) => T> {
  /** The value of a number in an expression, or of a constant. */
  constant(decimal: number): T;
}

export const numbers: Arithmetic<number> = {
  constant: (decimal) => decimal,
  negate: (a) => -a,
  exp: Math.exp,
  ln: Math.log,
  root: Math.sqrt,
  absolute: Math.abs,
  floor: Math.floor,
  add: (a, b) => a + b,
  subtract: (a, b) => a - b,
  multiply: (a, b) => a * b,
  divide: (a, b) => a / b,
  power: (a, b) => a ** b,
  minimum: Math.min,
  maximum: Math.max,
};

/** An arithmetic whose operations are passed to `record` instead of being carried out. */
export function recorder<T>(
  constant: (decimal: number) => T,
  record: (operation: Operation, operands: readonly T[]) => T,
): Arithmetic<T> {
  const recorded = OPERATIONS.map((operation) => [
    operation,
    (...operands: readonly T[]) => record(operation, operands),
  ]);
  return { constant, ...Object.fromEntries(recorded) };
}

export const intervalArithmetic: Arithmetic<intervals.Interval> = {
  ...intervals,
  constant: intervals.enclose,
};

const FUNCTIONS: Readonly<Record<string, OneOperand | TwoOperands>> = {
  exp: 'exp',
  ln: 'ln',
  floor: 'floor',
  min: 'minimum',
  max: 'maximum',
};
const SUMS: Readonly<Record<string, TwoOperands>> = { '+': 'add', '−': 'subtract' };
const PRODUCTS: Readonly<Record<string, TwoOperands>> = { '·': 'multiply', '/': 'divide' };

/** A symbol in a formula: a letter, then letters, digits and subscripts. */
export const SYMBOL = /[A-Za-zΑ-Ωα-ωΔ][\p{L}\p{N}_₀-₉′]*/gu;
const TOKEN = new RegExp(`\\s*(?:(\\d+(?:\\.\\d+)?)|(${SYMBOL.source})|([-+−·/^√|(),]))`, 'yu');

/**
 * Parses an expression: `+ − · / ^ √(…) |…|`, and `exp`, `ln`, `floor`, `min`, `max`; `π` is a constant.
 * @throws SyntaxError for any other text; expressions are written in the code, not in files
 */
export function parseExpression(text: string): Expression {
  const parser = new Parser(text);
  const expression = parser.sum();
  parser.end();
  return expression;
}

class Parser {
  readonly #tokens: readonly string[];
  #next = 0;

  constructor(readonly text: string) {
    TOKEN.lastIndex = 0;
    const tokens: string[] = [];
    while (TOKEN.lastIndex < text.trimEnd().length) {
      const start = TOKEN.lastIndex;
      const found = TOKEN.exec(text);
      if (!found) throw new SyntaxError(`Unexpected "${text.slice(start)}" in "${text}"`);
      tokens.push(found[0].trim());
    }
    this.#tokens = tokens;
  }

  sum(): Expression {
    const first = this.#takes('−') ? one('negate', this.#product()) : this.#product();
    return this.#chain(first, SUMS, () => this.#product());
  }

  #product(): Expression {
    return this.#chain(this.#power(), PRODUCTS, () => this.#power());
  }

  /** Operations of the same precedence, from left to right. */
  #chain(left: Expression, operations: typeof SUMS, next: () => Expression): Expression {
    for (let op = operations[this.#token]; op; op = operations[this.#token]) {
      this.#next++;
      left = two(op, left, next());
    }
    return left;
  }

  #power(): Expression {
    const base = this.#primary();
    return this.#takes('^') ? two('power', base, this.#power()) : base;
  }

  #primary(): Expression {
    const token = this.#token;
    this.#next++;
    if (token === '(') return this.#closed(')');
    if (token === '|') return one('absolute', this.#closed('|'));
    if (token === '√') return one('root', this.#primary());
    if (/^\d/.test(token)) return { type: 'number', value: Number(token) };
    if (token === 'π') return { type: 'number', value: Math.PI };
    const operation = FUNCTIONS[token];
    if (operation) return this.#call(operation);
    if (/^\p{L}/u.test(token)) return { type: 'symbol', name: token };
    throw new SyntaxError(`Expected a value but found "${token}" in "${this.text}"`);
  }

  #call(operation: OneOperand | TwoOperands): Expression {
    this.#expect('(');
    const first = this.sum();
    if (operation === 'exp' || operation === 'ln' || operation === 'floor') {
      this.#expect(')');
      return one(operation, first);
    }
    this.#expect(',');
    const second = this.sum();
    this.#expect(')');
    return two(operation as TwoOperands, first, second);
  }

  end(): void {
    if (this.#next < this.#tokens.length)
      throw new SyntaxError(`Unexpected "${this.#token}" after the expression in "${this.text}"`);
  }

  get #token(): string {
    return this.#tokens[this.#next] ?? '';
  }

  #takes(token: string): boolean {
    if (this.#token !== token) return false;
    this.#next++;
    return true;
  }

  #expect(token: string): void {
    if (!this.#takes(token)) throw new SyntaxError(`Missing "${token}" in "${this.text}"`);
  }

  #closed(token: string): Expression {
    const inner = this.sum();
    this.#expect(token);
    return inner;
  }
}

const one = (operation: OneOperand, a: Expression): Expression => ({
  type: 'operation',
  operation,
  operands: [a],
});
const two = (operation: TwoOperands, a: Expression, b: Expression): Expression => ({
  type: 'operation',
  operation,
  operands: [a, b],
});
