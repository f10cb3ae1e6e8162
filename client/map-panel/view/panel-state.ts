// The first script of every panel: says when the language server does not answer, so that an old or empty picture is not
// taken for the state of the file.
import type { PanelState } from '../../panel-state.ts';

const banner = document.createElement('p');
banner.className = 'state';
banner.setAttribute('role', 'status');
banner.hidden = true;
document.querySelector('main')!.prepend(banner);

window.addEventListener('message', (event: MessageEvent<PanelState | { readonly type: string }>) => {
  const { data } = event;
  if (data.type !== 'state' || !('state' in data)) return;
  // It is not for the panel itself.
  event.stopImmediatePropagation();
  show(data.state);
});

function show(state: PanelState['state']): void {
  banner.hidden = state === 'running';
  banner.classList.toggle('broken', state === 'stopped');
  if (state !== 'stopped') {
    banner.textContent = 'The language server is starting.';
    return;
  }
  const link = document.createElement('a');
  link.href = 'command:enginewright.restartServer';
  link.textContent = 'Restart it';
  banner.replaceChildren('The language server has stopped; what is shown may be out of date. ', link, '.');
}
