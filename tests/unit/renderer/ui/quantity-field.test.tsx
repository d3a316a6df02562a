import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { QuantityField } from '../../../../renderer/ui/QuantityField.tsx';
import { quantityReader } from '../../../../renderer/ui/read-quantity.ts';

const parse = quantityReader({ kind: 'mass', unit: 'kg', min: 0, max: 5000 });

function textOf(typed: string): string {
  const markup = renderToStaticMarkup(
    <QuantityField label="Mass" typed={typed} onTyped={() => undefined} parse={parse} help="With its unit" />,
  );
  return markup
    .replaceAll(/<[^>]*>/g, ' ')
    .replaceAll(/\s+/g, ' ')
    .trim();
}

describe('QuantityField', () => {
  it('shows what was typed in another unit as it will be taken', () => {
    expect(textOf('45 lb')).toBe('Mass = 20.4117 kg');
  });

  it('says nothing twice: what is shown as it was typed has no line', () => {
    expect(textOf('20.5 kg')).toBe('Mass With its unit');
  });

  it('helps while there is nothing to convert, and does not scold before the field has been left', () => {
    expect(textOf('')).toBe('Mass With its unit');
    expect(textOf('45 l')).toBe('Mass With its unit');
  });

  it('keeps exactly what was typed', () => {
    const markup = renderToStaticMarkup(
      <QuantityField label="Mass" typed=" 45,0lb" onTyped={() => undefined} parse={parse} />,
    );
    expect(markup).toContain('value=" 45,0lb"');
  });
});
