// Opens a real VS Code, with the packaged extension in it, on the samples. It stays until Ctrl-C.
// PORT chooses the port; without it a free one is taken.
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
