// Prints what there is to read, each text once with the place that it is written at, for somebody who reads it aloud:
//
//   npm run words                     # all that a user can read
//   npm run words -- comments         # the comments of the code
//   npm run words -- messages engine  # of one kind, where place or text contains a word
import { commentTexts, fixTexts, messageTexts, pageTexts, productTexts } from './texts.mjs';

const kinds = {
  messages: messageTexts,
  fixes: fixTexts,
  product: productTexts,
  pages: pageTexts,
  comments: commentTexts,
};
const [kind, part = ''] = process.argv.slice(2);
if (kind !== undefined && !(kind in kinds)) {
  console.error(`There is no kind '${kind}'; use ${Object.keys(kinds).join(', ')}.`);
  process.exit(2);
}
const all = (kind === undefined ? ['messages', 'fixes', 'product', 'pages'] : [kind]).flatMap((name) =>
  kinds[name](),
);
const seen = new Set();
for (const { where, text } of all) {
  if (seen.has(text) || !`${where} ${text}`.includes(part)) continue;
  seen.add(text);
  console.log(`${where}\n    ${text.replaceAll('\n', '\n    ')}`);
}
