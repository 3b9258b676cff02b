// The picture for the documentation: the demo's mistake marked and listed, figures in the text, a device's volts on hover.
import { session } from './workbench.mjs';

await session('picture', async (w) => {
  await w.open('harbour.bell');
  await w.command('View: Toggle Primary Side Bar Visibility');
  await w.command('Problems: Focus on Problems View');
  await w.problems('the finding', 'address-taken');
  await w.select('rear');
  await w.line(/rear\s.*\d\sV,\s\d+\smA/).waitFor();
  await w.press('ArrowLeft');
  for (let line = 0; line < 8; line++) await w.press('Control+ArrowDown');
  await w.command('Show or Focus Hover');
  await w.eventually('the hover', () => [...document.querySelectorAll('.monaco-hover:not(.hidden)')].some((h) => h.innerText.includes('with the battery at its end')));
  await w.page.waitForTimeout(1500);
  await w.picture('page');
}, { viewport: { width: 1040, height: 780 }, deviceScaleFactor: 1.85 });
