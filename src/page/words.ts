/** For who opens the page in a year: its words, what it does not show, and how to check again. */
import type { Matrix } from '../matrix/matrix.js';
import { commandWord } from '../text/command-word.js';
import { zoneName } from '../text/time.js';
import { command, items, text } from './markup.js';
import type { Places } from './places.js';

/** Words that a page has only where their section has something to show are left out otherwise. */
const WORDS: readonly (readonly [string, string])[] = [
  ['endpoint', 'One port of one device or controller, usually with an address: device/controller/port.'],
  [
    'fact',
    'One thing that the plan states of an endpoint: its address, a service, the device behind it, a speed, a switch port.',
  ],
  ['matches', 'It was tested and is as planned.'],
  ['differs', 'It is there, but not as planned.'],
  ['missing', 'It should have answered from the place that was looked from, and did not.'],
  ['unproven', 'It could not be tested. It may be right or wrong; the reason is said.'],
  ['vantage', 'The place that was looked from: one laptop on one cable.'],
  ['job', 'Something that somebody has to do. What goes away with it stands beneath it.'],
  ['path', 'One way from a host to a controller. It works, is broken, or is unproven.'],
  ['group', 'Paths that stand in for each other, and how many of them are needed.'],
  ['redundant', 'The group still works after any one failure.'],
  ['at risk', 'The group works, and one failure would end it.'],
  ['lost', 'Fewer paths work than are needed.'],
  ['single point', 'One thing (controller, switch, network, feed) whose loss alone ends a group.'],
  [
    'measured / from the plan',
    'How it is known what a path runs through: seen on the network, or only written in the plan.',
  ],
  ['stranger', 'An address that answers and that the plan does not have.'],
];

export function wordsSection(): string {
  return `<dl class="words">${WORDS.map(([word, meaning]) => `<div><dt>${word}</dt><dd>${meaning}</dd></div>`).join('')}</dl>`;
}

export function againSection(matrix: Matrix, { zoneMinutes }: Places): string {
  const plan = commandWord(matrix.plan.files[0]?.name ?? 'PLAN', 'PLAN');
  const day = text(matrix.run.finishedAt.slice(0, 10), 20);
  return `<h3>What this page does not show</h3>
${items([
  'How fast data really flows, and whether the devices store it rightly: nothing was written and nobody logged in.',
  'Settings inside the devices: accounts, licences, access lists of volumes, takeover rules.',
  'Anything that the plan does not state. A fact that is not in the plan was not checked.',
  'What changed later. It is the state of one hour.',
  ...(matrix.defaults.length === 0 ? ['Default addresses: the plan names none, so none was asked.'] : []),
])}
<h3>State on ${day}, and how to check again</h3>
<p>This page and the result beside it (<code>matrix.json</code>) show what was found then${zoneMinutes === 0 ? '' : `; times are ${zoneName(zoneMinutes)}`}. In the folder of the handover:</p>
<ul class="again"><li>${command('matchmark verify .')} shows that no file of a sealed handover was changed since.</li>
<li>${command(`matchmark check ${plan} --out today`)} looks again at the whole site.</li>
<li>${command('matchmark compare . today')} shows what changed since this page.</li></ul>`;
}
