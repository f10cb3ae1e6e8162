// The suite sends lines on the console to the script that started it (tests/editor/driver.mjs), and the script answers a
// request at this address. In a desktop build nobody listens, so nothing is typed and no screenshot is saved.
declare const ANSWERS: string;
/** Longer than the script waits for something to be shown. */
const answerLimit = 55_000;

/** Whether a script is there to take screenshots and press keys. */
export const driven = ANSWERS !== '';

/** Prints a line in the terminal in which the tests were started. */
export function say(line: string): void {
  if (driven) send({ what: 'say', value: line });
  else console.log(line);
}

/** Reports how many tests passed and failed, at the end of the suite; waits, because the window may close after it. */
export async function report(totals: { passed: number; failed: number }): Promise<void> {
  if (driven) await ask('totals', totals);
}

/** Saves a screenshot of the window as `.test-output/pictures/NAME.png`. Does nothing in a desktop build. */
export async function picture(name: string): Promise<void> {
  if (driven) await ask('picture', name);
}

/** Types into the focused part of the window like a user. Tests that need it check `driven` first. */
export function type(text: string): Promise<void> {
  return ask('type', text);
}

/** Presses a key or a chord, such as `Control+Space`. Tests that need it check `driven` first. */
export function press(key: string): Promise<void> {
  return ask('press', key);
}

/** Hovers over a text in the editor, such as a hint. Tests that need it check `driven` first. */
export function point(text: string): Promise<void> {
  return ask('point', text);
}

/**
 * Waits until a text is visible in the window; fails if it does not appear. Tests that need it check `driven` first.
 */
export function see(text: string): Promise<void> {
  return ask('see', text);
}

/**
 * Waits until something in the window, panels included, matches a selector of Playwright. Does nothing in a
 * desktop build.
 */
export async function shown(selector: string): Promise<void> {
  if (driven) await ask('shown', selector);
}

/** Fails with what axe finds in the panels that are shown. Does nothing in a desktop build. */
export async function audit(): Promise<void> {
  if (driven) await ask('audit', null);
}

/** Sets the size of the window in CSS pixels. Does nothing in a desktop build. */
export async function resize(width: number, height: number): Promise<void> {
  if (driven) await ask('resize', `${width}x${height}`);
}

function send(message: { id?: string; what: string; value: unknown }): void {
  console.log(`@driver ${JSON.stringify(message)}`);
}

async function ask(what: string, value: unknown): Promise<void> {
  if (!driven) throw new Error(`Nobody is there to ${what}: this is a desktop build.`);
  // Every test file has its own copy of this module, so a counter would start again in each.
  const id = crypto.randomUUID();
  send({ id, what, value });
  const answer = await fetch(`${ANSWERS}/${id}`, { signal: AbortSignal.timeout(answerLimit) });
  const failure = await answer.text();
  if (failure !== '') throw new Error(failure);
}
