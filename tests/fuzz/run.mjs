// npm run fuzz -- COUNT [SEED]: random edits of single texts, see texts.mjs.
// npm run fuzz -- workspace COUNT [SEED]: random steps in a window with several files, see workspace.mjs.
// ENGINEWRIGHT_VERIFY=1 reaches the servers too: they make every kept result anew and complain where one is stale.
const [first, ...rest] = process.argv.slice(2);
const isWorkspace = first === 'workspace';
const [count = 1000, seed = Date.now() % 1e9] = (isWorkspace ? rest : [first, ...rest]).map(Number);
if (!(count > 0) || !(seed >= 0)) {
  console.error('npm run fuzz -- [workspace] COUNT [SEED]: how many edits or steps, and where to begin.');
  process.exit(2);
}
const { fuzz } = await import(isWorkspace ? './workspace.mjs' : './texts.mjs');
await fuzz(count, seed);
