/** The status bar item that says how the site at the cursor stands: the device with least to spare. A click goes there. */

import * as vscode from 'vscode';

/** The server's answer to `bellwire/standing`, as far as it is shown. */
interface Standing {
  site: string;
  works: boolean;
  text: string;
  detail: string;
  location: { uri: string; range: { start: { line: number; character: number }; end: { line: number; character: number } } };
}

/** Asks the server; nothing without one. */
export type Ask = (method: string, params: unknown) => Promise<unknown>;

/** How long the cursor must rest. */
const PAUSE = 100;

export class StandingItem implements vscode.Disposable {
  private readonly item = vscode.window.createStatusBarItem('bellwire.standing', vscode.StatusBarAlignment.Left, 0);
  private readonly listeners: vscode.Disposable[];
  private timer: NodeJS.Timeout | undefined;
  private shown: Standing | undefined;
  /** An answer that comes when another has been asked for is dropped. */
  private asked = 0;

  constructor(private readonly ask: Ask) {
    this.item.name = 'Bellwire: Least to Spare';
    this.item.command = 'bellwire.goToLeast';
    this.listeners = [
      vscode.commands.registerCommand('bellwire.goToLeast', () => this.go()),
      vscode.window.onDidChangeActiveTextEditor(() => this.soon()),
      vscode.window.onDidChangeTextEditorSelection(() => this.soon()),
      // What the site has to spare changes when findings do, also by an edit of another file.
      vscode.languages.onDidChangeDiagnostics(() => this.soon()),
    ];
  }

  /** Asks anew once the cursor rests. */
  soon(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.update(), PAUSE);
  }

  dispose(): void {
    clearTimeout(this.timer);
    this.item.dispose();
    for (const listener of this.listeners) listener.dispose();
  }

  private async update(): Promise<void> {
    const turn = ++this.asked;
    const editor = vscode.window.activeTextEditor;
    let standing: Standing | undefined;
    if (editor?.document.languageId === 'bellwire') {
      const { line, character } = editor.selection.active;
      const params = { textDocument: { uri: editor.document.uri.toString() }, position: { line, character } };
      standing = ((await this.ask('bellwire/standing', params)) as Standing | null | undefined) ?? undefined;
    }
    if (turn === this.asked) this.show(standing);
  }

  private show(standing: Standing | undefined): void {
    this.shown = standing;
    if (standing === undefined) return this.item.hide();
    this.item.text = `$(${standing.works ? 'pulse' : 'error'}) ${standing.text}`;
    this.item.tooltip = `${standing.site}: ${standing.detail}`;
    this.item.backgroundColor = standing.works ? undefined : new vscode.ThemeColor('statusBarItem.errorBackground');
    this.item.show();
  }

  private async go(): Promise<void> {
    if (this.shown === undefined) return;
    const { uri, range } = this.shown.location;
    const selection = new vscode.Range(range.start.line, range.start.character, range.end.line, range.end.character);
    await vscode.window.showTextDocument(vscode.Uri.parse(uri), { selection });
  }
}
