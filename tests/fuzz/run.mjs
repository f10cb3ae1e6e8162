// npm run fuzz -- COUNT [SEED]: random edits of single texts, see texts.mjs.
// npm run fuzz -- workspace COUNT [SEED]: random steps in a window with several files, see workspace.mjs.
// ENGINEWRIGHT_VERIFY=1 also applies to the servers: they compute every cached result again and log an error if it is
// stale.
const [first, ...rest] = process.argv.slice(2);
const isWorkspace = first === 'workspace';
const [count = 1000, seed = Date.now() % 1e9] = (isWorkspace ? rest : [first, ...rest]).map(Number);
if (!(count > 0) || !(seed >= 0)) {
  console.error('npm run fuzz -- [workspace] COUNT [SEED]: how many edits or steps, and where to begin.');
  process.exit(2);
}
const { fuzz } = await import(isWorkspace ? './workspace.mjs' : './texts.mjs');
await fuzz(count, seed);
