// A designer's session on the demo plan: findings, hover, completion, definition, quick fix, layout.
import fs from 'node:fs';
import { assert, session } from './workbench.mjs';

const TAKEN = 'address-taken';

await session('plan', async (w) => {
  const BAD = 'address 1, partition 2';
  const GOOD = 'address 2, partition 2';

  async function retype(from, to) {
    await w.select(from);
    await w.type(to);
  }

  await w.open('harbour.bell');
  await w.command('Problems: Focus on Problems View');

  await w.test('the taken address in the demo is found', async () => {
    const rows = await w.problems('the finding', TAKEN);
    assert(rows.includes('bellwire'), rows);
    await w.eventually('a mark in the text', () => document.querySelector('.editor-instance .squiggly-error'));
    await w.picture('finding');
  });

  await w.test('volts, drops and ohms stand in the text, and the load above the panel', async () => {
    const hints = [['rear', /rear\s.*\d\sV,\s\d+\smA/], ['zone 2', /zone\s2\s.*loop\sdouble\s*\d.*\sohm\s\.\.\s/], ['--12 m--', /--12\sm--\s*[\d.]+\sV\s*front/]];
    for (const [place, hint] of hints) {
      await w.select(place);
      await w.line(hint).waitFor();
    }
    await w.select('panel main');
    await w.page.locator('.codelens-decoration', { hasText: /aux\s\d+\smA\sof\s600\smA/ }).waitFor();
  });

  await w.test('the status bar says which device has least to spare, and a click goes there', async () => {
    const item = w.page.locator('.statusbar-item', { hasText: /rear .* to spare/ });
    await item.waitFor();
    await w.select('bus keys');
    await item.click();
    await w.page.locator('.statusbar-item', { hasText: '(4 selected)' }).waitFor();
    await w.picture('least');
  });

  await w.test('a new plan begins with a site to fill in', async () => {
    await w.command('Bellwire: New Plan');
    const path = await w.beginPlan(`${process.env.PLANS}/sites`);
    await w.page.locator('.statusbar-item', { hasText: 'Bellwire' }).first().waitFor();
    await w.command('View: Revert and Close Editor');
    await w.tab('harbour.bell');
    fs.rmSync(path);
  });

  await w.test('Enter behind a word that is written out ends the line, whatever is offered', async () => {
    await w.select('intruder-grade-2');
    await w.press('ArrowRight', 'Backspace');
    await w.type('2');
    await w.page.locator('.suggest-widget.visible .monaco-list-row.focused', { hasText: /^intruder-grade-2/ }).waitFor();
    await w.press('Enter');
    await w.page.locator('.suggest-widget.visible').waitFor({ state: 'detached' });
    await w.page.locator('.statusbar-item', { hasText: /Ln 8, Col 3$/ }).waitFor();
    await w.command('File: Revert File');
  });

  await w.test('choices have a colour of their own', async () => {
    const line = /^ *keypad +rear /;
    const [choice, name, clause] = [await w.colour(line, 'silent'), await w.colour(line, 'rear'), await w.colour(line, 'sounds')];
    assert(choice !== name && choice !== clause, `${choice} ${name} ${clause}`);
  });

  await w.test('the finding goes and comes while typing', async () => {
    await retype(BAD, GOOD);
    await w.problems('the finding gone', TAKEN, false);
    await retype(GOOD, BAD);
    await w.problems('the finding again', TAKEN);
  });

  await w.test('a quick fix gives the next free address', async () => {
    await w.select(BAD);
    await w.press('ArrowLeft', 'Control+.');
    const fix = w.page.locator('.action-widget .monaco-list-row', { hasText: /address 2/ }).first();
    await fix.waitFor();
    await w.picture('quick-fix');
    await fix.click();
    await w.problems('the finding gone', TAKEN, false);
    assert(/address 2\b/.test(await w.textOf(GOOD)), 'the address is not mended');
  });

  await w.test('hover on a device shows its volts', async () => {
    await w.select('rear');
    await w.press('ArrowLeft');
    await w.command('Show or Focus Hover');
    const text = await w.eventually('the hover', () =>
      [...document.querySelectorAll('.monaco-hover:not(.hidden)')].map((h) => h.innerText).find((t) => /\d V\b/.test(t)));
    assert(text.includes('rear') && text.includes('with the battery at its end'), text);
    await w.picture('hover');
    await w.press('Escape', 'Escape');
  });

  await w.test('after the word address the free places are offered', async () => {
    await w.select('expander x1');
    await w.press('ArrowLeft', 'End', 'Enter');
    await w.type('keypad spare : K2, address ');
    await w.press('Control+Space');
    const rows = await w.eventually('the list', () => {
      const rows = [...document.querySelectorAll('.suggest-widget.visible .monaco-list-row')].map((r) => r.getAttribute('aria-label') ?? r.innerText);
      return rows.some((r) => /^3\b/.test(r)) && rows;
    });
    assert(/^3\b/.test(rows[0]), rows.join('|'));
    assert(!rows.some((r) => /^[12]\b(?!\d)/.test(r)), rows.join('|'));
    await w.picture('completion');
    await w.press('Enter');
    await w.eventually('the choice', () => [...document.querySelectorAll('.editor-instance .view-line')].some((l) => /spare.*address.3$/.test(l.textContent.replaceAll('\u00a0', ' ').trimEnd())));
    await w.press('Control+Shift+K');
  });

  await w.test('go to definition on a model lands in the catalog', async () => {
    await w.select('K2R');
    await w.press('ArrowLeft', 'F12');
    await w.tab('merrow.bell');
    await w.eventually('the cursor on the model', () =>
      document.querySelector('.editor-instance .view-overlays .current-line') &&
      [...document.querySelectorAll('.editor-instance .view-line')].some((l) => l.textContent.replaceAll('\u00a0', ' ').startsWith('model keypad K2R')));
    await w.picture('definition');
    await w.open('harbour.bell');
  });

  await w.test('a built-in model opens for reading only', async () => {
    await w.select('sealed-12V-7Ah');
    await w.press('ArrowLeft', 'F12');
    await w.line('model battery sealed-12V-7Ah').waitFor();
    await w.type('x');
    await w.page.locator('.monaco-editor-overlaymessage', { hasText: 'read-only' }).waitFor();
    await w.picture('built-in');
    await w.open('harbour.bell');
  });

  await w.test('the layout is put right', async () => {
    const before = await w.textOf('partition 2 "Workshop"');
    await w.select('partition 2 "Workshop"');
    await w.press('ArrowLeft', 'Home');
    await w.type('     ');
    await w.command('Format Document');
    await w.eventually('the old layout', (before) =>
      [...document.querySelectorAll('.editor-instance .view-line')].some((l) => l.textContent.replaceAll('\u00a0', ' ') === before), before);
  });

  await w.test('the server comes back after a restart', async () => {
    await w.command('Bellwire: Restart Server');
    await retype(GOOD, BAD);
    await w.problems('the finding', TAKEN);
    await retype(BAD, GOOD);
    await w.problems('the finding gone', TAKEN, false);
  });

  await w.test('it also comes back after it could not start again by itself', async () => {
    const program = `${process.env.HOME}/.cargo/bin/bellwire`;
    const runs = (id) => {
      try {
        return fs.readlinkSync(`/proc/${id}/exe`) === program;
      } catch {
        return false;
      }
    };
    const [server] = fs.readdirSync('/proc').filter((id) => /^\d+$/.test(id) && runs(id));
    fs.renameSync(program, `${program}-away`);
    process.kill(Number(server), 'SIGKILL');
    await w.page.locator('.notification-toast', { hasText: 'couldn\'t create connection to server' }).first().waitFor();
    fs.renameSync(`${program}-away`, program);
    await w.command('Bellwire: Restart Server');
    await retype(GOOD, BAD);
    await w.problems('the finding', TAKEN);
    await retype(BAD, GOOD);
    await w.problems('the finding gone', TAKEN, false);
    await w.command('Notifications: Clear All Notifications');
  });

  await w.test('a full path in the settings is used', async () => {
    const elsewhere = `${process.env.HOME}/elsewhere`;
    fs.mkdirSync(elsewhere);
    fs.renameSync(`${process.env.HOME}/.cargo/bin/bellwire`, `${elsewhere}/bellwire`);
    await w.programPath(async () => {
      await w.command('Preferences: Open Settings (UI)');
      await w.type('bellwire.server.path');
    }, '~/elsewhere/bellwire');
    await w.command('Bellwire: Show Output');
    await w.eventually('the start in the output', (path) =>
      [...document.querySelectorAll('.panel .view-line')].some((l) => l.textContent.replaceAll('\u00a0', ' ').includes(`Starting ${path}`)), `${elsewhere}/bellwire`);
    await w.open('harbour.bell');
    await w.command('Problems: Focus on Problems View');
    await retype(GOOD, BAD);
    await w.problems('the finding', TAKEN);
  });
});
