// Standard input: a terminal's screen with its colours (tmux capture-pane -e). Writes it as a picture to the file named.
import fs from 'node:fs';

const { chromium } = await import(process.env.PLAYWRIGHT);
const [file] = process.argv.slice(2);
const FOREGROUND = '#1f2328', BACKGROUND = '#ffffff';
const BASIC = ['#24292f', '#cf222e', '#116329', '#7d4e00', '#0969da', '#8250df', '#1b7c83', '#6e7781',
  '#57606a', '#a40e26', '#1a7f37', '#633c01', '#218bff', '#a475f9', '#3192aa', '#8c959f'];

/** One of the 256 colours of a terminal. */
function indexed(n) {
  if (n < 16) return BASIC[n];
  if (n >= 232) return `rgb(${Array(3).fill(8 + 10 * (n - 232))})`;
  const level = (v) => (v === 0 ? 0 : 55 + 40 * v);
  return `rgb(${[Math.floor((n - 16) / 36), Math.floor((n - 16) / 6) % 6, (n - 16) % 6].map(level)})`;
}

/** Applies the numbers of one `ESC [ … m` (ECMA-48, SGR) to a pen. */
function paint(pen, codes) {
  const parts = codes === '' ? ['0'] : codes.split(';');
  while (parts.length > 0) {
    const [code, ...sub] = parts.shift().split(':');
    const n = Number(code);
    const colour = () => {
      const rest = sub.length > 0 ? sub.filter((s) => s !== '') : parts;
      return rest.shift() === '5' ? indexed(Number(rest.shift())) : `rgb(${rest.splice(0, 3)})`;
    };
    if (n === 0) for (const key of Object.keys(pen)) delete pen[key];
    else if (n === 1) pen.bold = true;
    else if (n === 2) pen.dim = true;
    else if (n === 3) pen.italic = true;
    else if (n === 4) pen.line = ['none', 'solid', 'double', 'wavy', 'dotted', 'dashed'][Number(sub[0] ?? 1)];
    else if (n === 7) pen.reverse = true;
    else if (n === 22) pen.bold = pen.dim = false;
    else if (n === 23) pen.italic = false;
    else if (n === 24) pen.line = 'none';
    else if (n === 27) pen.reverse = false;
    else if (n >= 30 && n <= 37) pen.front = indexed(n - 30);
    else if (n === 38) pen.front = colour();
    else if (n === 39) delete pen.front;
    else if (n >= 40 && n <= 47) pen.back = indexed(n - 40);
    else if (n === 48) pen.back = colour();
    else if (n === 49) delete pen.back;
    else if (n === 58) pen.mark = colour();
    else if (n === 59) delete pen.mark;
    else if (n >= 90 && n <= 97) pen.front = indexed(n - 82);
    else if (n >= 100 && n <= 107) pen.back = indexed(n - 92);
  }
}

function style(pen) {
  let front = pen.front ?? FOREGROUND, back = pen.back ?? BACKGROUND;
  if (pen.reverse) [front, back] = [back, front];
  const underline = pen.line && pen.line !== 'none' ? `text-decoration: underline ${pen.line} ${pen.mark ?? front} 1px; text-underline-offset: 1px;` : '';
  return `display: inline-block; height: 20px; color: ${front}; background: ${back};${pen.bold ? 'font-weight: bold;' : ''}${pen.italic ? 'font-style: italic;' : ''}${pen.dim ? 'opacity: .6;' : ''}${underline}`;
}

const escape = (text) => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;');
const pen = {};
const rows = fs.readFileSync(0, 'utf8').replace(/\n$/, '').split('\n').map((row) =>
  row.split(/(\x1b\[[0-9;:]*m)/).map((piece) => {
    const codes = /^\x1b\[([0-9;:]*)m$/.exec(piece);
    if (codes) paint(pen, codes[1]);
    return codes || piece === '' ? '' : `<span style="${style(pen)}">${escape(piece)}</span>`;
  }).join(''));

// A character is 12 of the picture's points wide: with a part of one, backgrounds would show seams.
const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox', '--disable-gpu'] });
const page = await browser.newPage({ deviceScaleFactor: 1.5, viewport: { width: 2000, height: 1200 } });
await page.setContent(`<body style="margin: 0; background: ${BACKGROUND}"><pre style="display: inline-block; margin: 0; padding: 12px; background: ${BACKGROUND};
  font: 13.3px/20px 'DejaVu Sans Mono', monospace; letter-spacing: calc(8px - 1ch)">${rows.map((row) => `<div style="height: 20px">${row || ' '}</div>`).join('')}</pre></body>`);
await page.locator('pre').screenshot({ path: file });
await browser.close();
