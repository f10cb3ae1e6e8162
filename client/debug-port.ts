/** The port in `.vscode/launch.json`. */
const DEVELOPMENT_PORT = 6009;

/**
 * The port on this machine at which a debugger may attach to the language server; undefined, as for every
 * user, where none may. Open for an extension under development, and where the environment asks for it:
 * `ENGINEWRIGHT_DEBUG_PORT=6010`.
 */
export function debugPort(
  isDevelopment: boolean,
  { ENGINEWRIGHT_DEBUG_PORT: asked }: Readonly<Record<string, string | undefined>>,
): number | undefined {
  if (asked === undefined) return isDevelopment ? DEVELOPMENT_PORT : undefined;
  return /^\d{1,5}$/.test(asked) && Number(asked) <= 65_535 ? Number(asked) : undefined;
}

/** What Node needs to be told for that: the port is open to this machine alone. */
export function debugArguments(port: number | undefined): string[] {
  return port === undefined ? [] : [`--inspect=127.0.0.1:${port}`];
}
