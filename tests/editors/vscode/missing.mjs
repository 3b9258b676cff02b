// What a user sees who has the extension but not the program.
import { assert, session } from './workbench.mjs';

await session('missing', async (w) => {
  await w.open('harbour.bell');

  await w.test('a plain message says what to run', async () => {
    const text = await w.eventually('the message', () =>
      [...document.querySelectorAll('.notification-toast .notification-list-item-message')].map((m) => m.innerText).find((m) => m.includes('was not found')));
    assert(text.includes('cargo install --locked --path server/bellwire'), text);
    assert(text.includes('bellwire.server.path'), text);
    await w.picture('message');
  });

  await w.test('the mode is Bellwire', async () => {
    await w.eventually('the mode', () => document.querySelector('[id="status.editor.mode"]')?.innerText.trim() === 'Bellwire');
  });

  await w.test('colours need no server', async () => {
    const line = /^ *keypad +rear /;
    const plain = await w.colour(line, 'rear');
    const colours = {
      keyword: await w.colour(line, 'keypad'),
      string: await w.colour(line, '"Workshop door"'),
      model: await w.colour(line, 'K2R'),
      clause: await w.colour(line, 'address'),
    };
    assert(new Set(Object.values(colours)).size >= 3, JSON.stringify(colours));
    assert(colours.string !== plain && colours.keyword !== plain && colours.model !== plain, JSON.stringify({ plain, ...colours }));
  });

  await w.test('a wrong path in the settings is named', async () => {
    await w.programPath(() => w.page.locator('.notification-toast .monaco-button', { hasText: 'Open Setting' }).click(), '~/nowhere/bellwire');
    const text = await w.eventually('the message', () =>
      [...document.querySelectorAll('.notification-toast .notification-list-item-message')].map((m) => m.innerText).find((m) => m.includes('nowhere/bellwire')));
    assert(text.includes(`${process.env.HOME}/nowhere/bellwire`), text);
    await w.picture('wrong-path');
  });
});
