// Writes a file as a comment on a pull request of GitHub; if it has commented before, replaces that comment. The action
// runs it:
//
//   GITHUB_TOKEN=… PULL_REQUEST=… node comment.mjs FILE
//
// A failure is a warning: the gate does not depend on the comment, and the token of a fork may not write any.
import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';

/** The first line of the comment, by which it is found again. GitHub does not display it. */
const MARK = '<!-- enginewright -->';
const PER_PAGE = 100;

/**
 * Writes or replaces the comment. Throws if GitHub refuses.
 * @param {string} text in Markdown
 * @param {Record<string, string | undefined>} env of an action
 */
export async function comment(text, env) {
  const repository = `${env.GITHUB_API_URL}/repos/${env.GITHUB_REPOSITORY}`;
  const ask = async (method, address, body) => {
    const answer = await fetch(`${repository}/${address}`, {
      method,
      headers: { accept: 'application/vnd.github+json', authorization: `Bearer ${env.GITHUB_TOKEN}` },
      ...(body && { body: JSON.stringify(body) }),
    });
    if (!answer.ok)
      throw new Error(`GitHub answered ${answer.status}: ${(await answer.text()).slice(0, 200)}`);
    return answer.json();
  };
  const thread = `issues/${env.PULL_REQUEST}/comments`;
  const earlier = async () => {
    for (let page = 1; ; page += 1) {
      const comments = await ask('GET', `${thread}?per_page=${PER_PAGE}&page=${page}`);
      // A person could write the mark too, and later change what it says.
      const own = comments.find(({ user, body }) => user?.type === 'Bot' && body?.startsWith(MARK));
      if (own || comments.length < PER_PAGE) return own;
    }
  };
  const body = `${MARK}\n${text}`;
  const found = await earlier();
  if (found) await ask('PATCH', `issues/comments/${found.id}`, { body });
  else await ask('POST', thread, { body });
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  await comment(readFileSync(process.argv[2], 'utf8'), process.env).catch(({ message }) => {
    const line = message.replaceAll('%', '%25').replaceAll('\r', '%0D').replaceAll('\n', '%0A');
    console.log(`::warning title=No comment on the pull request::${line}`);
  });
}
