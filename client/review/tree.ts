import * as vscode from 'vscode';
import type { ReviewItem, ReviewSign } from '../../server/protocol.ts';
import { rangeFrom } from '../cell-commands.ts';

/** Items with this context value have a map of changed cells. */
const CHANGED_MAP = 'changedMap';

const ICONS: Readonly<Record<ReviewSign, readonly [icon: string, colour?: string]>> = {
  nothing: ['pass', 'testing.iconPassed'],
  harmless: ['pass', 'testing.iconPassed'],
  look: ['warning', 'list.warningForeground'],
  stop: ['error', 'list.errorForeground'],
  error: ['error', 'list.errorForeground'],
  warning: ['warning', 'list.warningForeground'],
  note: ['info'],
  accepted: ['comment'],
  gone: ['pass', 'testing.iconPassed'],
  beyond: ['warning', 'list.errorForeground'],
  near: ['arrow-both', 'list.warningForeground'],
  lost: ['question', 'list.warningForeground'],
  moved: ['arrow-both'],
  changed: ['diff-modified', 'gitDecoration.modifiedResourceForeground'],
  map: ['table', 'gitDecoration.modifiedResourceForeground'],
  added: ['diff-added', 'gitDecoration.addedResourceForeground'],
  removed: ['diff-removed', 'gitDecoration.deletedResourceForeground'],
  renamed: ['diff-renamed', 'gitDecoration.renamedResourceForeground'],
};

/** The items of a review as a tree view. */
export class ReviewTree implements vscode.TreeDataProvider<ReviewItem> {
  readonly #changed = new vscode.EventEmitter<undefined>();
  readonly onDidChangeTreeData = this.#changed.event;
  #items: readonly ReviewItem[] = [];

  show(items: readonly ReviewItem[]): void {
    if (this.#items.length + items.length === 0) return;
    this.#items = items;
    this.#changed.fire(undefined);
  }

  getChildren(item?: ReviewItem): ReviewItem[] {
    return [...(item ? (item.children ?? []) : this.#items)];
  }

  getTreeItem(item: ReviewItem): vscode.TreeItem {
    const { label, detail, text, sign, place, table, children, isOpen } = item;
    const { None, Expanded, Collapsed } = vscode.TreeItemCollapsibleState;
    const shown = new vscode.TreeItem(label, children ? (isOpen ? Expanded : Collapsed) : None);
    shown.description = detail;
    shown.tooltip = text;
    const [icon, colour] = sign ? ICONS[sign] : [];
    if (icon) shown.iconPath = new vscode.ThemeIcon(icon, colour && new vscode.ThemeColor(colour));
    if (table !== undefined) shown.contextValue = CHANGED_MAP;
    if (place) {
      const { uri, range } = place;
      const { start } = rangeFrom(range);
      shown.command = {
        title: 'Go to Line',
        command: 'vscode.open',
        arguments: [
          vscode.Uri.parse(uri),
          { selection: new vscode.Range(start, start), preserveFocus: true },
        ],
      };
    }
    return shown;
  }
}
