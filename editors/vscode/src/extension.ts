/** Starts the language server and says plainly when that cannot be done. Everything a plan needs is in the server. */

import * as vscode from 'vscode';
import { DidChangeConfigurationNotification, LanguageClient, type Middleware, State } from 'vscode-languageclient/node';
import { findProgram } from './program';
import { StandingItem } from './standing';

let session: Session | undefined;

export async function activate(context: vscode.ExtensionContext): Promise<void> {
  const current = new Session();
  session = current;
  context.subscriptions.push(
    vscode.commands.registerCommand('bellwire.restartServer', () => current.restart()),
    vscode.commands.registerCommand('bellwire.showOutput', () => current.output.show()),
    vscode.commands.registerCommand('bellwire.newPlan', newPlan),
    vscode.workspace.onDidChangeConfiguration((change) => {
      if (change.affectsConfiguration('bellwire.server')) return current.restart();
      if (change.affectsConfiguration('bellwire')) return current.sendSettings();
      return undefined;
    }),
    vscode.workspace.onDidGrantWorkspaceTrust(() => current.restart()),
    current,
  );
  await current.restart();
}

export async function deactivate(): Promise<void> {
  await session?.stop();
  session = undefined;
}

/** A plan with the snippet of a site in it. It is a file from the start: other plans are used by their path as seen from it. */
async function newPlan(): Promise<void> {
  const beside = vscode.window.activeTextEditor?.document;
  const folder =
    beside?.languageId === 'bellwire' && beside.uri.scheme === 'file'
      ? vscode.Uri.joinPath(beside.uri, '..')
      : vscode.workspace.workspaceFolders?.[0]?.uri;
  const offered = folder === undefined ? {} : { defaultUri: vscode.Uri.joinPath(folder, 'site.bell') };
  const uri = await vscode.window.showSaveDialog({ title: 'New Plan', saveLabel: 'Begin', filters: { Plans: ['bell'] }, ...offered });
  if (uri === undefined) return;
  const created = new vscode.WorkspaceEdit();
  created.createFile(uri, { ignoreIfExists: true });
  await vscode.workspace.applyEdit(created);
  const editor = await vscode.window.showTextDocument(uri);
  if (editor.document.getText() !== '') return;
  await vscode.commands.executeCommand('editor.action.insertSnippet', { langId: 'bellwire', name: 'Site' });
}

/** A word with one value behind it. */
const ONE_VALUE = /^([\w-]+) \$\{1:[^"}]*\}$/;

/** Once such a word is taken, its values are offered at once, where a name for them would stand in the way. */
const offerValues: NonNullable<Middleware['provideCompletionItem']> = async (document, position, context, token, next) => {
  const found = await next(document, position, context, token);
  const items = Array.isArray(found) ? found : (found?.items ?? []);
  for (const item of items) {
    const word = item.insertText instanceof vscode.SnippetString ? ONE_VALUE.exec(item.insertText.value)?.[1] : undefined;
    if (word === undefined) continue;
    item.insertText = new vscode.SnippetString(`${word} $1`);
    item.command = { command: 'editor.action.triggerSuggest', title: 'Offer values', arguments: [{ auto: true }] };
  }
  return found;
};

/** One server at a time, with its output and its mark in the status bar. */
class Session implements vscode.Disposable {
  readonly output = vscode.window.createOutputChannel('Bellwire', { log: true });
  private readonly status = vscode.languages.createLanguageStatusItem('bellwire.server', { language: 'bellwire' });
  private readonly standing = new StandingItem((method, params) => this.ask(method, params));
  private client: LanguageClient | undefined;
  /** Restarts wait for one another, so that two never run at once. */
  private turn: Promise<void> = Promise.resolve();

  constructor() {
    this.status.name = 'Bellwire server';
    this.status.command = { command: 'bellwire.showOutput', title: 'Output' };
  }

  restart(): Promise<void> {
    return this.next(async () => {
      await this.stopNow();
      await this.startNow();
    });
  }

  stop(): Promise<void> {
    return this.next(() => this.stopNow());
  }

  /** Whatever became of the one before. */
  private next(work: () => Promise<void>): Promise<void> {
    this.turn = this.turn.catch(() => undefined).then(work);
    return this.turn;
  }

  /** Not left to the client: it would send to a server that a change of `bellwire.server` is just replacing. */
  async sendSettings(): Promise<void> {
    await this.client?.sendNotification(DidChangeConfigurationNotification.type, {
      settings: { bellwire: vscode.workspace.getConfiguration('bellwire') },
    });
  }

  dispose(): void {
    this.standing.dispose();
    this.status.dispose();
    this.output.dispose();
  }

  private async startNow(): Promise<void> {
    const program = findProgram();
    if ('missing' in program) return this.fail(program.missing);
    this.output.info(`Starting ${program.path}`);
    const client = new LanguageClient(
      'bellwire',
      'Bellwire',
      { command: program.path, args: ['serve'] },
      {
        // Not an older version beside it, as in a comparison: every site would be there twice.
        documentSelector: ['file', 'untitled'].map((scheme) => ({ scheme, language: 'bellwire' })),
        outputChannel: this.output,
        middleware: { provideCompletionItem: offerValues },
      },
    );
    client.onDidChangeState(({ newState }) => {
      this.show(newState === State.Running ? 'Bellwire' : newState === State.Starting ? 'Bellwire: starting' : 'Bellwire: stopped');
    });
    try {
      await client.start();
      this.client = client;
      await this.sendSettings();
      this.standing.soon();
    } catch (error) {
      await this.end(client);
      this.fail(`The server ${program.path} did not start: ${error instanceof Error ? error.message : String(error)}`);
    }
  }

  /** What fails is in the output channel already. */
  private async ask(method: string, params: unknown): Promise<unknown> {
    return this.client?.sendRequest(method, params).catch(() => undefined);
  }

  private async stopNow(): Promise<void> {
    const client = this.client;
    this.client = undefined;
    this.standing.soon();
    if (client !== undefined) await this.end(client);
  }

  /** Whether or not its server runs: it would start one again by itself. */
  private async end(client: LanguageClient): Promise<void> {
    try {
      // One that does so just now cannot be stopped before it is through.
      if (client.state === State.Starting) await client.start().catch(() => undefined);
      await client.dispose();
    } catch (error) {
      this.output.warn(`The server did not stop well: ${String(error)}`);
    }
  }

  private show(text: string, severity = vscode.LanguageStatusSeverity.Information): void {
    this.status.text = text;
    this.status.severity = severity;
  }

  /** Not awaited by the caller: the message stays until the user answers it. */
  private fail(message: string): void {
    this.output.error(message);
    this.show('Bellwire: no server', vscode.LanguageStatusSeverity.Error);
    const openSetting = 'Open Setting';
    const tryAgain = 'Try Again';
    void vscode.window.showErrorMessage(message, openSetting, tryAgain).then((answer) => {
      if (answer === openSetting) return vscode.commands.executeCommand('workbench.action.openSettings', 'bellwire.server.path');
      if (answer === tryAgain) return this.restart();
      return undefined;
    });
  }
}
