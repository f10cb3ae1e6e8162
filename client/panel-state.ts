/** A message to every panel: whether the language server answers. */
export interface PanelState {
  readonly type: 'state';
  readonly state: 'starting' | 'running' | 'stopped';
}
