import type { ServerCapabilities } from 'vscode-languageserver';

/**
 * All capabilities merged: objects are merged recursively and lists are concatenated. Conflicting values are a bug in the
 * program and throw.
 */
export function mergedCapabilities(all: readonly ServerCapabilities[]): ServerCapabilities {
  return all.reduce<ServerCapabilities>((merged, one) => mergedObjects(merged, one, ''), {});
}

function mergedObjects(a: object, b: object, at: string): object {
  const merged: Record<string, unknown> = { ...a };
  for (const [key, value] of Object.entries(b)) {
    const isNew = merged[key] === undefined;
    merged[key] = isNew ? value : mergedValues(merged[key], value, at === '' ? key : `${at}.${key}`);
  }
  return merged;
}

function mergedValues(a: unknown, b: unknown, at: string): unknown {
  if (a === b || b === undefined) return a;
  if (Array.isArray(a) && Array.isArray(b)) return [...new Set([...a, ...b])];
  if (isObject(a) && isObject(b)) return mergedObjects(a, b, at);
  throw new Error(
    `Two features declare different values of ${at}: ${JSON.stringify(a)} and ${JSON.stringify(b)}.`,
  );
}

const isObject = (value: unknown): value is object =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
