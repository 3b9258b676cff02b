// What a new user tries: the walkthrough and its buttons, every command, settings, folders that go and come.
import fs from 'node:fs';
import path from 'node:path';
import { assert, session } from './workbench.mjs';

const PLANS = process.env.PLANS;

await session('tour', async (w) => {
  const button = (text) => w.page.locator('.gettingStartedContainer .step-list-container .expanded .monaco-button', { hasText: text });
  const step = (title) => w.page.locator('.gettingStartedContainer .step-list-container .getting-started-step', { hasText: title });

  async function openTour() {
    await w.command('Welcome: Open Walkthrough...');
    await w.page.locator('.quick-input-list .monaco-list-row', { hasText: 'Get started with Bellwire' }).first().click();
    await step('Begin a plan').waitFor();
  }

  await w.test('the walkthrough opens and shows a plan', async () => {
    await openTour();
    const titles = await w.page.locator('.gettingStartedContainer .step-list-container .getting-started-step .step-title').allInnerTexts();
    assert(titles.join('|') === 'Begin a plan|Take a free address|See volts and amperes|Mend what is found', titles.join('|'));
    await step('Begin a plan').click();
    await button('Begin a Plan').waitFor();
    await w.page.waitForTimeout(1000);
    await w.picture('plan');
  });

  await w.test('its first button begins a plan', async () => {
    await button('Begin a Plan').click();
    const plan = await w.beginPlan(PLANS);
    await w.command('View: Revert and Close Editor');
    fs.rmSync(plan);
  });

  await w.test('its other buttons open the settings and the problems', async () => {
    await openTour();
    await step('Take a free address').click();
    await w.page.waitForTimeout(1000);
    await w.picture('address');
    await step('See volts and amperes').click();
    await w.page.waitForTimeout(1000);
    await w.picture('figures');
    await button('Settings').click();
    await w.page.locator('.settings-editor .setting-item-contents', { hasText: 'Show volts and amperes behind each device' }).waitFor();
    await w.picture('settings');
    await w.command('View: Close Editor');
    await openTour();
    await step('Mend what is found').click();
    await button('Problems').click();
    await w.page.locator('.markers-panel').waitFor();
    await w.picture('findings');
    await w.command('View: Close All Editors');
  });

  await w.open('harbour.bell');

  await w.page.locator('.statusbar-item', { hasText: /rear .* to spare/ }).waitFor();

  await w.test('a folder that goes outside of the editor takes its findings along', async () => {
    await w.command('Problems: Focus on Problems View');
    const folder = path.join(PLANS, 'drafts');
    fs.mkdirSync(path.join(folder, 'old'), { recursive: true });
    fs.writeFileSync(path.join(folder, 'old', 'shed.bell'), 'site shed {\n  rules nowhere\n}\n');
    await w.problems('the finding', 'nowhere');
    fs.renameSync(folder, path.join(PLANS, 'other'));
    await w.eventually('the finding under the new name', () => {
      const rows = [...document.querySelectorAll('.markers-panel .monaco-list-row')].map((row) => row.innerText);
      return rows.some((row) => row.includes('other/old')) && !rows.some((row) => row.includes('drafts/old'));
    });
    fs.rmSync(path.join(PLANS, 'other'), { recursive: true });
    await w.problems('the finding gone', 'nowhere', false);
  });

  await w.test('each command is in the palette and does what it says', async () => {
    await w.page.keyboard.press('F1');
    await w.page.locator('.quick-input-widget input[type=text]').fill('>Bellwire: ');
    const rows = w.page.locator('.quick-input-list .monaco-list-row', { hasText: 'Bellwire:' });
    await rows.first().waitFor();
    await w.page.waitForTimeout(500);
    const manifest = JSON.parse(fs.readFileSync(new URL('../../../editors/vscode/package.json', import.meta.url), 'utf8'));
    const wanted = manifest.contributes.commands.map((c) => `${c.category}: ${c.title}`).sort();
    const offered = (await rows.allInnerTexts()).map((text) => text.split('\n')[0].trim()).sort();
    assert(wanted.every((title) => offered.some((row) => row.startsWith(title))), `${wanted} but ${offered}`);
    await w.press('Escape');

    await w.command('Bellwire: Show Output');
    await w.page.locator('.panel .view-line', { hasText: 'Starting' }).first().waitFor();
    await w.command('Bellwire: Restart Server');
    await w.eventually('a second start', () =>
      [...document.querySelectorAll('.panel .view-line')].filter((l) => l.textContent.includes('Starting')).length > 1);
    await w.command('View: Focus Active Editor Group');
    await w.page.locator('.statusbar-item', { hasText: /rear .* to spare/ }).waitFor();
    await w.command('Bellwire: Go to Device with Least to Spare');
    await w.page.locator('.statusbar-item', { hasText: '(4 selected)' }).waitFor();
  });

  await w.test('a word that is taken offers at once what fits behind it', async () => {
    await w.select('expander x1');
    await w.press('ArrowLeft', 'End', 'Enter');
    await w.type('keypad spare : K2, addr');
    await w.page.locator('.suggest-widget.visible .monaco-list-row', { hasText: 'address' }).first().waitFor();
    await w.press('Tab');
    await w.page.locator('.suggest-widget.visible .monaco-list-row', { hasText: /^2/ }).first().waitFor();
    await w.picture('next');
    await w.press('Enter');
    await w.line(/spare\s:\sK2,\saddress\s2/).waitFor();
    await w.press('Escape', 'Control+Shift+K');
  });

  await w.test('settings count at once', async () => {
    const hint = w.line(/rear\s.*\d\sV,\s\d+\smA/);
    const leg = w.line(/--12\sm--\s*[\d.]+\sV\s*front/);
    const lens = w.page.locator('.codelens-decoration', { hasText: /aux\s\d+\smA\sof\s600\smA/ });
    const gone = (locator) => locator.waitFor({ state: 'detached' });
    await w.select('panel main');
    await hint.waitFor();
    await lens.waitFor();
    const file = path.join(PLANS, '.vscode', 'settings.json');
    const set = (settings) => {
      fs.mkdirSync(path.dirname(file), { recursive: true });
      fs.writeFileSync(file, JSON.stringify(settings));
    };
    set({ 'bellwire.hints.devices': false, 'bellwire.lenses': false });
    await gone(hint);
    await gone(lens);
    await w.select('--12 m--');
    await leg.waitFor();
    set({ 'bellwire.hints.legs': false, 'bellwire.lenses': false });
    await gone(leg);
    fs.rmSync(path.dirname(file), { recursive: true });
    await leg.waitFor();
    await w.select('panel main');
    await hint.waitFor();
    await lens.waitFor();
  });

  await w.test('the settings in the page mend slips on saving, and change a name along while it is typed', async () => {
    const page = fs.readFileSync(new URL('../../../editors/vscode/README.md', import.meta.url), 'utf8');
    const settings = /```json\n(.*?)```/s.exec(page)[1];
    const file = path.join(PLANS, '.vscode', 'settings.json');
    fs.mkdirSync(path.dirname(file), { recursive: true });
    // That the load goes from above the panel says that the settings count.
    const lens = w.page.locator('.codelens-decoration', { hasText: /aux\s\d+\smA\sof\s600\smA/ });
    await w.select('partition 1 "Shop"');
    await lens.waitFor();
    fs.writeFileSync(file, `{ "bellwire.lenses": false, ${settings} }`);
    await lens.waitFor({ state: 'detached' });
    await w.select('address 9');
    await w.type('adress 9');
    await w.eventually('the slip', () => [...document.querySelectorAll('.editor-instance .view-line')].some((l) => l.textContent.includes('adress')));
    await w.press('Control+s');
    await w.line(/x1\s.*,\s+address\s9/).waitFor();
    await w.select('expander x1');
    await w.press('ArrowRight');
    await w.page.waitForTimeout(1000); // the editor asks where else the name stands
    await w.type('b');
    await w.line(/input\sx1b\.1/).waitFor();
    await w.press('Control+z');
    await w.line(/input\sx1\.1/).waitFor();
    fs.rmSync(path.dirname(file), { recursive: true });
  });

  await w.test('paths follow a folder that is renamed in the explorer', async () => {
    await w.command('Explorer: Focus on Folders View');
    // The editor asks first, for the plans change too.
    const agreed = w.page.locator('.monaco-dialog-box .monaco-button', { hasText: 'OK' });
    const rename = async () => {
      await w.page.locator('.explorer-folders-view .monaco-list-row', { hasText: /^catalog$/ }).click();
      await w.press('F2');
      const box = w.page.locator('.explorer-folders-view .monaco-inputbox input');
      await box.fill('makers', { timeout: 5000 });
      await box.press('Enter', { timeout: 5000 });
      await agreed.waitFor({ timeout: 5000 });
    };
    // The tree takes the box away where it learns only now of files that went before.
    for (let again = 0; again < 4 && !(await agreed.isVisible()); again++) await rename().catch(() => {});
    await agreed.click();
    await w.line('use "../makers/merrow.bell"').waitFor();
    await w.command('Problems: Focus on Problems View');
    await w.problems('no missing import', 'import-missing', false);
    await w.picture('renamed');
    // What is not told yet is not there either: that it is found counts.
    await w.select('K2R');
    await w.press('ArrowLeft', 'F12');
    await w.tab('merrow.bell');
    await w.page.locator('.breadcrumbs-control', { hasText: 'makers' }).waitFor();
    assert(fs.existsSync(path.join(PLANS, 'makers', 'merrow.bell')), 'not renamed on disk');
  });
});
