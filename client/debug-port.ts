/** The port in `.vscode/launch.json`. */
const DEVELOPMENT_PORT = 6009;

/**
 * The local port at which a debugger can attach to the language server; undefined, as for every user, if none can.
 * Open for an extension under development and if the environment sets one: `ENGINEWRIGHT_DEBUG_PORT=6010`.
 */
export function debugPort(
  isDevelopment: boolean,
  { ENGINEWRIGHT_DEBUG_PORT: asked }: Readonly<Record<string, string | undefined>>,
): number | undefined {
  if (asked === undefined) return isDevelopment ? DEVELOPMENT_PORT : undefined;
  return /^\d{1,5}$/.test(asked) && Number(asked) <= 65_535 ? Number(asked) : undefined;
}

/** The arguments of Node that open the port, to this machine only. */
export function debugArguments(port: number | undefined): string[] {
  return port === undefined ? [] : [`--inspect=127.0.0.1:${port}`];
}
