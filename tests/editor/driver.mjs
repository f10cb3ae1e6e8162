// Does in the page what a suite asks for (see suite/driver.ts). The suite runs in VS Code's extension host and sends its
// requests through the console of the page; it waits for each answer at an address of this process, because an extension host
// in a browser can read nothing else.
import { createServer } from 'node:http';
import { join } from 'node:path';
import { format } from 'node:util';
import axe from 'axe-core';

// Nothing here measures time; a loaded machine must not turn a slow test into a failed one.
const shownLimit = 50_000;

/**
 * Starts to answer.
 * @returns {Promise<{ address: string, attach: Function, stop: () => void }>} the address is for the suite
 */
export async function startDriver() {
  const answers = new Map();
  /** The answer with an id: a promise, and the function that keeps it. */
  const answer = (id) => {
    if (!answers.has(id)) {
      const one = {};
      one.text = new Promise((resolve) => {
        one.give = resolve;
      });
      answers.set(id, one);
    }
    return answers.get(id);
  };
  const server = createServer(async (request, response) => {
    const text = await answer(request.url.slice(1)).text;
    response.writeHead(200, { 'access-control-allow-origin': '*' }).end(text);
  });
  await new Promise((resolve) => server.listen(0, 'localhost', resolve));

  /**
   * Serves the suite in a page. Rejects if the page crashes.
   * @returns the counts that the suite reports at its end; undefined if it ended without
   */
  const attach = async (page, { pictures, log }) => {
    let totals;
    let end;
    const suiteEnd = new Promise((resolve) => {
      end = resolve;
    });
    const requests = {
      say: (line) => console.log(line),
      totals: (counts) => {
        totals = counts;
        end();
      },
      picture: (name) => page.screenshot({ path: join(pictures, `${name}.png`) }),
      type: (text) => page.keyboard.type(text),
      press: (key) => page.keyboard.press(key),
      shown: (selector) => waitFor(page, selector),
      // The text editor displays blanks as non-breaking spaces.
      point: (text) =>
        page
          .locator('.view-line span', { hasText: loosely(text) })
          .last()
          .hover(),
      audit: () => audit(page),
      see: (text) => page.getByText(loosely(text)).first().waitFor({ timeout: shownLimit }),
      resize: (size) => {
        const [width, height] = size.split('x').map(Number);
        return page.setViewportSize({ width, height });
      },
    };
    await page.exposeFunction('codeAutomationLog', async (type, args) => {
      const line = format(...args);
      log.push(`${type}: ${line}\n`);
      if (process.env.VERBOSE) console.error(`${type}: ${line}`);
      if (!line.startsWith('@driver ')) return;
      const { id, what, value } = JSON.parse(line.slice('@driver '.length));
      const text = await Promise.resolve(requests[what](value)).then(
        () => '',
        async (error) => {
          await page.screenshot({ path: join(pictures, `failed-${what}.png`) }).catch(() => {});
          return String(error.message);
        },
      );
      if (id !== undefined) answer(id).give(text);
    });
    page.once('close', () => end());
    // Called at the end of the extension host, also if it has crashed.
    await page.exposeFunction('codeAutomationExit', () => end());
    const crash = new Promise((_, reject) => {
      page.once('crash', () => reject(new Error('the page crashed')));
    });
    return { ended: Promise.race([suiteEnd, crash]), totals: () => totals };
  };

  return {
    address: `http://localhost:${server.address().port}`,
    attach,
    stop: () => {
      server.close();
      server.closeAllConnections();
    },
  };
}

/**
 * Lets axe look at the panels that are shown; fails with what it finds. */
async function audit(page) {
  const found = [];
  let panels = 0;
  for (const frame of page.frames()) {
    const isPanel = await frame
      .locator('#panel')
      .isVisible()
      .catch(() => false);
    if (!isPanel) continue;
    panels++;
    await frame.evaluate(axe.source);
    const { violations } = await frame.evaluate('axe.run(document, { resultTypes: ["violations"] })');
    for (const { id, nodes } of violations)
      found.push(`${id} (${nodes.length}): ${nodes[0].html.slice(0, 200)} ${nodes[0].failureSummary}`);
  }
  if (panels === 0) throw new Error('No panel is shown.');
  if (found.length > 0) throw new Error(found.join('\n'));
}

/** A pattern for a text with any blanks. */
const loosely = (text) => new RegExp(text.replaceAll(/[.*+?^${}()|[\]\\]/g, '\\$&').replaceAll(' ', '\\s'));

/** Waits until something in the page, including the frames of panels, matches. */
async function waitFor(page, selector) {
  const deadline = Date.now() + shownLimit;
  for (;;) {
    for (const frame of page.frames()) {
      // A frame may disappear during the query.
      if (
        await frame
          .locator(selector)
          .count()
          .catch(() => 0)
      )
        return;
    }
    if (Date.now() > deadline) throw new Error(`Nothing in the window matches ${selector}.`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}
