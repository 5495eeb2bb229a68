import { writeFileSync } from 'node:fs';
import { Paper } from '@lintel/api';
import { describe, expect, it } from 'vitest';
import { pdfPages } from '../support/pdf.js';

const at = new Date('2026-01-15T08:00:00Z');
const head = { title: 'Log book – Tür F‑01 «Łódź»', lines: ['Åmot kjølelager, Þorlákshöfn · Ωmega · Дверь 7', 'Serial 4711'] };

describe('a printed document', () => {
  it('has its head and its number on every page, and carries what is not ASCII; read back by pdf.js', async () => {
    const paper = new Paper({ head, foot: 'Printed 2026-01-15', at });
    paper.heading('Drive').facts([['Supply', '3 × 400 V ±10 %'], ['Width', '3 000 mm'], ['Empty', '']]);
    paper.note('Take care', 'Isolate ≤ 1 kV, prove dead. — “Stop”', 'warning');
    paper.table([{ label: 'When', share: 1 }, { label: 'What', share: 4 }], Array.from({ length: 90 }, (_, n) => ({ cells: [`row ${n}`, `done by Jørgen Ñuñez № ${n}`] })));
    const file = await paper.finish();
    if (process.env['LINTEL_KEEP_PDF']) writeFileSync(process.env['LINTEL_KEEP_PDF'], file);
    const pages = await pdfPages(file);
    expect(pages.length).toBeGreaterThan(1);
    for (const [index, page] of pages.entries()) {
      for (const text of [head.title, ...head.lines, `Page ${index + 1} of ${pages.length}`, 'Printed 2026-01-15', 'When What']) expect(page).toContain(text);
    }
    expect(pages[0]).toContain('3 × 400 V ±10 %');
    expect(pages[0]).toContain('Isolate ≤ 1 kV, prove dead. — “Stop”');
    expect(pages.join(' ').match(/row \d+ /g)).toEqual(Array.from({ length: 90 }, (_, n) => `row ${n} `));
  });

  it('loses nothing of long texts: over pages, and in words wider than their column', async () => {
    const words = Array.from({ length: 2_000 }, (_, n) => `w${n}`);
    const serial = 'X'.repeat(300);
    const paper = new Paper({ head, foot: '', at, landscape: true });
    paper.table([{ label: 'A', share: 1 }, { label: 'B', share: 5, align: 'right' }], [{ cells: [serial, words.join(' ')] }, { cells: ['last', ''], marked: true }]);
    paper.note('Long', words.join(' ')).text(words.join(' '));
    const pages = await pdfPages(await paper.finish());
    const body = pages.map((page) => page.replaceAll(head.title, '')).join(' ');
    for (const word of [words[0]!, words[999]!, words[1_999]!]) expect(body.split(' ').filter((one) => one === word), word).toHaveLength(3);
    expect(body.replaceAll(/[^X]/g, '')).toHaveLength(300);
    expect(body).toContain('last');
  });

  it('starts on a clean page for a block that would not fit', async () => {
    const paper = new Paper({ head, foot: '', at });
    const [first] = [paper.y];
    paper.y = paper.doc.page.height - 100;
    expect(paper.reserve(200)).toBe(first);
    paper.text('on the second page');
    expect((await pdfPages(await paper.finish()))[1]).toContain('on the second page');
  });
});
