// The real workbench in a browser, with the handful of things that the tests do to it.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';

const { chromium } = await import(process.env.PLAYWRIGHT);
const PATIENCE = 30_000;

/** Opens the workbench, hands it to `body`, and ends with a failing exit code and a picture if anything in it throws. */
export async function session(name, body, screen = {}) {
  const browserData = fs.mkdtempSync(path.join(os.tmpdir(), 'browser-'));
  const context = await chromium.launchPersistentContext(browserData, {
    executablePath: '/usr/bin/chromium',
    headless: true,
    viewport: { width: 1400, height: 860 },
    ...screen,
    args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
  });
  const page = context.pages()[0] ?? (await context.newPage());
  page.setDefaultTimeout(PATIENCE);
  const workbench = new Workbench(page, name);
  let code = 0;
  try {
    await page.goto(process.argv[2], { waitUntil: 'domcontentloaded' });
    await page.waitForSelector('.explorer-folders-view .monaco-list-row', { timeout: 90_000 });
    await body(workbench);
  } catch (error) {
    code = 1;
    console.error(`FAIL: ${error.stack}`);
    await workbench.picture('failed').catch(() => {});
    await workbench.command('Bellwire: Show Output').catch(() => {});
    await page.waitForTimeout(1000);
    await workbench.picture('output').catch(() => {});
  }
  await context.close();
  fs.rmSync(browserData, { recursive: true, force: true });
  process.exit(code);
}

class Workbench {
  constructor(page, name) {
    this.page = page;
    this.name = name;
    this.pictures = 0;
  }

  async test(name, body) {
    try {
      await body();
    } catch (error) {
      error.message = `${name}: ${error.message}`;
      throw error;
    }
    console.log(`    ok: ${name}`);
  }

  async picture(what) {
    this.pictures += 1;
    await this.page.screenshot({ path: path.join(process.env.PICTURES, `${this.name}-${this.pictures}-${what}.png`) });
  }

  /** Runs a command by its title. */
  async command(title) {
    const input = this.page.locator('.quick-input-widget input[type=text]');
    const row = this.page.locator('.quick-input-list .monaco-list-row', { hasText: title }).first();
    // A page that is still being built takes the focus back, which closes the list.
    for (let tries = 1; ; tries += 1) {
      try {
        await this.page.keyboard.press('F1');
        await input.fill(`>${title}`, { timeout: 5000 });
        return await row.click({ timeout: 5000 });
      } catch (error) {
        if (tries === 4) throw error;
      }
    }
  }

  /** Sets bellwire.server.path in the settings page, which `open` brings up with that setting found. */
  async programPath(open, value) {
    await open();
    // The settings of the machine that the server runs on, as in a remote window.
    await this.page.locator('.settings-tabs-widget .action-label', { hasText: /^Remote/ }).click();
    const box = this.page.locator('.settings-editor .setting-item-contents', { hasText: 'Bellwire' }).locator('input[type=text], textarea').first();
    await box.fill(value);
    await this.press('Tab');
  }

  /** Takes the name that a new plan is offered, in the folder given, and waits for the site in it. */
  async beginPlan(folder) {
    const path = `${folder}/site.bell`;
    await this.eventually(`the name ${path}`, (path) => document.querySelector('.quick-input-widget input[type=text]')?.value === path, path);
    await this.page.locator('.quick-input-widget input[type=text]').press('Enter');
    await this.tab('site.bell');
    await this.line(/^\s*site\s/).waitFor();
    return path;
  }

  /** Opens a file by its name and waits for the text. */
  async open(name) {
    await this.page.keyboard.press('Control+P');
    const input = this.page.locator('.quick-input-widget input[type=text]');
    await input.fill(name);
    await this.page.locator('.quick-input-list .monaco-list-row', { hasText: name }).first().click();
    await this.tab(name);
    await this.page.waitForSelector('.monaco-editor .view-line');
  }

  /** Waits until the tab in front is the file. */
  async tab(name) {
    await this.page.locator('.tab.active', { hasText: name }).waitFor();
  }

  /** A line on the screen, found by its text. Spaces are non-breaking on the screen. */
  line(text) {
    return this.page.locator('.editor-instance .view-line', { hasText: text instanceof RegExp ? text : new RegExp(escape(text)) }).first();
  }

  /** The text of that line as it is in the file. */
  async textOf(text) {
    return (await this.line(text).innerText()).replaceAll('\u00a0', ' ');
  }

  /** Goes to `needle` with the editor's own search, and leaves it selected. */
  async select(needle) {
    await this.command('View: Focus Active Editor Group');
    await this.page.locator('.editor-instance .monaco-editor.focused').waitFor();
    await this.press('Control+Home');
    await this.page.keyboard.press('Control+F');
    const box = this.page.locator('.find-widget.visible .find-part textarea').first();
    await box.waitFor();
    // It opens with what was searched for before, whose count must not be taken for this one's.
    const counts = () => /^\d+ of/.test(document.querySelector('.find-widget.visible .matchesCount')?.textContent ?? '');
    await box.fill('');
    await this.eventually('an empty search', `!(${counts})()`);
    await box.fill(needle);
    await this.eventually(`${needle} in the plan`, counts);
    // Its first Escape may close a tooltip instead; one too many would drop the selection.
    for (let i = 0; i < 5 && (await this.page.locator('.find-widget.visible').count()) > 0; i++) {
      await this.page.keyboard.press('Escape');
      await this.page.locator('.find-widget.visible').waitFor({ state: 'detached', timeout: 1000 }).catch(() => {});
    }
    assert((await this.page.locator('.find-widget.visible').count()) === 0, 'the search box stays open');
    // The box is gone a moment before the keys go to the plan again.
    await this.eventually('the cursor back in the plan', () => {
      const focused = document.activeElement;
      return focused?.closest('.editor-instance') && !focused.closest('.find-widget');
    });
  }

  async type(text) {
    await this.page.keyboard.type(text, { delay: 40 });
  }

  async press(...keys) {
    for (const key of keys) await this.page.keyboard.press(key);
  }

  /** Waits until `check`, run in the page, gives something true; returns it. */
  async eventually(what, check, argument) {
    try {
      const handle = await this.page.waitForFunction(check, argument, { timeout: PATIENCE, polling: 100 });
      return await handle.jsonValue();
    } catch {
      throw new Error(`never came: ${what}`);
    }
  }

  /** The problems panel's rows, once `check` (run in the page on their joined text) likes them. */
  async problems(what, pattern, wanted = true) {
    return this.eventually(what, ([source, wanted]) => {
      const rows = [...document.querySelectorAll('.markers-panel .monaco-list-row')].map((row) => row.innerText).join('\n');
      return new RegExp(source).test(rows) === wanted && (rows || ' ');
    }, [pattern, wanted]);
  }

  /** Colour on the screen of `text` in the first line that `pattern` fits. */
  async colour(pattern, text) {
    return this.eventually(`the colour of ${text}`, ([source, text]) => {
      const clean = (s) => s.replaceAll('\u00a0', ' ');
      const line = [...document.querySelectorAll('.editor-instance .view-line')].find((l) => new RegExp(source).test(clean(l.textContent)));
      const span = line && [...line.querySelectorAll('span span')].find((s) => clean(s.textContent).includes(text));
      return span && getComputedStyle(span).color;
    }, [pattern.source, text]);
  }
}

function escape(text) {
  return text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&').replaceAll(' ', '[ \u00a0]+');
}

export function assert(condition, message) {
  if (!condition) throw new Error(message);
}
