/** The texts of the workspace by path, put into the bundle (see bundle.mjs). */
declare module 'workspace-files' {
  const files: Readonly<Record<string, string>>;
  export default files;
}

/** Loads the test files, which define their suites (see bundle.mjs). */
declare module 'suites' {}
