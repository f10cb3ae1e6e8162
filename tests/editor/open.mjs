// Opens the samples in a real VS Code with the packaged extension, until Ctrl-C. PORT selects the port; by default a
// free one is used.
import { packagedExtension, project } from './paths.mjs';
import { startEditor } from './vscode-server.mjs';

const editor = await startEditor({
  vsix: packagedExtension(),
  port: Number(process.env.PORT ?? 0),
  settings: { 'workbench.activityBar.location': 'default', 'breadcrumbs.enabled': true },
}).catch((error) => {
  console.error(error.message);
  process.exit(1);
});
for (const signal of ['SIGINT', 'SIGTERM']) {
  process.once(signal, () => {
    editor.stop();
    process.exit(0);
  });
}
console.log(`\nVS Code is open on the samples at

  http://${editor.host}/?folder=${encodeURI(project('samples'))}

What you change there is changed in the samples folder. End it with Ctrl-C.`);
await editor.ended.catch((error) => {
  console.error(error.message);
  editor.stop();
  process.exit(1);
});
