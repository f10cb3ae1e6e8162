import { createHash } from 'node:crypto';
import { version } from '../../../package.json';
import { type Content, Html, html } from '../../html.ts';
import { style } from './style.ts';

/** The content policy of a page with this style: the browser runs and loads nothing, and applies no other style. */
export const policyFor = (own: string): string =>
  [
    "default-src 'none'",
    `style-src 'sha256-${createHash('sha256').update(own).digest('base64')}'`,
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');

/** A whole page with the style of the report. */
export const pageText = (title: string, body: Content): string =>
  html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policyFor(style)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="generator" content="Enginewright ${version}">
<title>${title}</title>
<style>${new Html(style)}</style>
</head>
<body>
${body}
</body>
</html>
`.text;
