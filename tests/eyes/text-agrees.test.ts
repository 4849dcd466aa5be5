import { describe, expect, it } from 'vitest';
import { agreesWith, meaningOfItem } from '../../src/eyes/eyes.js';
import { meaningOf, sameName } from '../../src/eyes/text-agrees.js';

/** Words of the trade, common practice, no source. */
describe('what was seen against what was expected', () => {
  it.each([
    // Steady green, solid green and green are one lamp.
    ['steady green', 'steady green', 'power lamp', 'agrees'],
    ['Green, steady.', 'steady green', 'power lamp', 'agrees'],
    ['solid green', 'steady green', 'power lamp', 'agrees'],
    ['green', 'steady green', 'power lamp', 'agrees'],
    ['both LEDs are constantly green', 'solid green', 'lamps of both supplies', 'agrees'],
    ['orange', 'amber', 'power lamp', 'agrees'],
    ['the lamp is lit', 'on', 'power lamp', 'agrees'],
    ['dark', 'off', 'fault lamp', 'agrees'],
    ['no light', 'off', 'fault lamp', 'agrees'],
    ['not lit', 'dark', 'fault lamp', 'agrees'],
    // Another lamp is another lamp.
    ['steady amber', 'steady green', 'power lamp', 'differs'],
    ['red', 'green', 'power lamp', 'differs'],
    ['off', 'steady green', 'power lamp', 'differs'],
    ['lit', 'off', 'fault lamp', 'differs'],
    ['blinking green', 'steady green', 'power lamp', 'differs'],
    ['not steady green', 'steady green', 'power lamp', 'differs'],
    // Blinking on a link light is traffic.
    ['blinking green', 'green', 'link light', 'agrees'],
    ['flickers green', 'steady green', 'link lamp', 'agrees'],
    ['green', 'blinking green', 'link lamp', 'agrees'],
    ['blinking amber', 'green', 'link lamp', 'differs'],
    ['dark', 'green', 'link lamp', 'differs'],
    // What cannot be told is asked of the person, and is no fault.
    ['lit', 'steady green', 'power lamp', 'unclear'],
    ['red', 'lit', 'power lamp', 'unclear'],
    ['green', 'blinking green', 'locator lamp', 'unclear'],
    ['green and amber', 'steady green', 'power lamp', 'unclear'],
    ['green on the left, nothing on the right', 'steady green', 'power lamp', 'unclear'],
    ['not green', 'lit', 'power lamp', 'unclear'],
    ['grün', 'steady green', 'power lamp', 'unclear'],
    ['', 'steady green', 'power lamp', 'unclear'],
    // Anything else: the words, small ones apart, or a plain yes or no.
    ['Screws set and rails latched', 'rails latched, screws set', 'rails and screws', 'agrees'],
    ['as planned', 'rails latched, screws set', 'rails and screws', 'agrees'],
    ['OK', 'changed', 'default login', 'agrees'],
    ['not as planned', 'changed', 'default login', 'differs'],
    ['no', 'changed', 'default login', 'differs'],
    ['not changed', 'changed', 'default login', 'differs'],
    ['two screws missing', 'rails latched, screws set', 'rails and screws', 'unclear'],
    ['10G', '10G', 'speed', 'agrees'],
    ['25 Gbit/s', '10G', 'speed', 'agrees'],
    ['1G by its amber lamp', '10G', 'speed', 'differs'],
    ['amber', '10G', 'speed', 'unclear'],
  ] as const)('"%s" for "%s" of the %s: %s', (saw, expected, item, meaning) => {
    expect(meaningOf(saw, expected, item)).toBe(meaning);
  });

  it.each([
    ['loft-1 11', 'loft-1 port 11', 'agrees'],
    ['Loft-1, port 11', 'loft-1 port 11', 'agrees'],
    ['loft-1 12', 'loft-1 port 11', 'unclear'],
  ] as const)('a label "%s" for "%s": %s', (saw, expected, meaning) => {
    expect(meaningOfItem(saw, expected, 'switch port')).toBe(meaning);
  });

  it('takes the word of the person where words cannot tell, and only there', () => {
    const said = { subject: 's', item: 'power lamp', by: 'R. Hale', at: '2030-01-01T00:00:00Z' };
    expect(agreesWith({ ...said, saw: 'lit' }, 'steady green')).toBeUndefined();
    expect(agreesWith({ ...said, saw: 'lit', agrees: true }, 'steady green')).toBe(true);
    expect(agreesWith({ ...said, saw: 'lit', agrees: false }, 'steady green')).toBe(false);
    expect(agreesWith({ ...said, saw: 'red', agrees: true }, 'steady green')).toBe(false);
  });
});

it('takes names for the same but for case and white space', () => {
  expect(sameName(' Power  Lamp', 'power lamp')).toBe(true);
  expect(sameName('power lamp', 'power lamps')).toBe(false);
});
