/** What a user may set under `enginewright.` */
export interface Settings {
  readonly inlayHints: { readonly enabled: boolean };
}

/** Reads whatever an editor sends; what is not understood keeps its default. */
export function readSettings(sent: unknown): Settings {
  const { inlayHints } = (sent ?? {}) as { inlayHints?: { enabled?: unknown } | null };
  return { inlayHints: { enabled: inlayHints?.enabled !== false } };
}
