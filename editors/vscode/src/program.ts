/** Where the program `bellwire` is. Kept apart from the client so that one place says what is looked for, in which order. */

import * as fs from 'node:fs';
import * as os from 'node:os';
import * as path from 'node:path';
import * as vscode from 'vscode';

/** A program that can be run, or a sentence for the user that says what to do. */
export type Program = { path: string } | { missing: string };

/** Looks at the setting, then the PATH, then cargo's folder: the editor's PATH often lacks the latter. */
export function findProgram(): Program {
  const setting = vscode.workspace.getConfiguration('bellwire').get<string>('server.path', '').trim();
  if (setting !== '') {
    const wanted = expand(setting);
    if (runnable(wanted)) return { path: wanted };
    return { missing: `The setting bellwire.server.path names ${wanted}, which is not a program. Correct it, or empty it to have the program looked for.` };
  }
  const name = process.platform === 'win32' ? 'bellwire.exe' : 'bellwire';
  const cargo = path.join(process.env['CARGO_HOME'] ?? path.join(os.homedir(), '.cargo'), 'bin');
  for (const folder of [...(process.env['PATH'] ?? '').split(path.delimiter), cargo]) {
    const candidate = path.join(folder, name);
    if (folder !== '' && runnable(candidate)) return { path: candidate };
  }
  return {
    missing: 'The program bellwire was not found, so plans are not checked. Run `cargo install --locked --path server/bellwire` in a Bellwire checkout, or name the program in the setting bellwire.server.path.',
  };
}

function expand(setting: string): string {
  const folder = vscode.workspace.workspaceFolders?.[0]?.uri.fsPath ?? '';
  return setting.replace(/^~(?=[/\\])/, os.homedir()).replaceAll('${workspaceFolder}', folder);
}

function runnable(file: string): boolean {
  try {
    fs.accessSync(file, fs.constants.X_OK);
    return fs.statSync(file).isFile();
  } catch {
    return false;
  }
}
