/** `--since survey.json`: what changed since the survey before power-on, as notes. */

import { claimedBy } from '../evidence/claims.js';
import { anyAsked } from '../evidence/responses.js';
import { somebodyThere } from '../evidence/there.js';
import type { View } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import type { Survey } from '../matrix/survey.js';
import { cidrContains } from '../plan/address.js';
import { indexOf } from '../plan/plan-index.js';
import { timeWords } from '../text/time.js';
import { diffSurvey, type LaterLook, type SurveyChange } from './diff.js';

function changesSince(view: View, survey: Survey): SurveyChange[] {
  const swept = survey.asked.networks.map(
    ({ network }) => view.plan.networks.find(({ name }) => name === network)?.cidr,
  );
  return diffSurvey(
    survey,
    laterLooks(view),
    (address) =>
      survey.silent.includes(address) ||
      swept.some((cidr) => cidr !== undefined && cidrContains(cidr, address)),
  );
}

export function judgeSince(view: View, survey: Survey | undefined): Finding[] {
  if (survey === undefined) return [];
  const planned = indexOf(view.plan).addresses;
  const looked = new Set(view.addresses);
  return changesSince(view, survey)
    .map((change) =>
      change.kind === 'new' && planned.has(change.address)
        ? strangerHere(view, change, survey, looked)
        : changeFinding(change, survey.takenAt, zoneOf(view)),
    )
    .filter((found) => found !== undefined);
}

/**
 * A planned or default address that came up since is what the work was for, and what is wrong with it has its own finding. Held by
 * a device that had an address outside the plan in the survey, one that was not asked again, it is told which device that is.
 */
function strangerHere(
  view: View,
  { address, now }: SurveyChange,
  survey: Survey,
  looked: ReadonlySet<string>,
): Finding | undefined {
  const before = survey.entries.find(
    (entry) =>
      entry.kind === 'other' && !looked.has(entry.address) && entry.macs.some((mac) => now.includes(mac)),
  );
  if (before === undefined) return undefined;
  const facts = { address: before.address, before: before.macs, now: [], movedTo: address };
  return finding(
    'survey-moved',
    before.address,
    { ...facts, surveyedAt: survey.takenAt, zoneMinutes: zoneOf(view) },
    {
      evidence: [
        `survey of ${timeWords(survey.takenAt, zoneOf(view))}: ${before.address} held by ${before.macs.join(', ')}`,
        `now: ${address} held by ${now.join(', ')}`,
      ],
      about: view.plan.endpoints.filter((one) => one.address === address).map(({ id }) => id),
    },
  );
}

/** Minutes ahead of UTC where it is looked from now. */
function zoneOf({ evidence }: View): number | undefined {
  return evidence[0]?.vantage.zoneMinutes;
}

function changeFinding(
  change: SurveyChange,
  surveyedAt: string,
  zoneMinutes: number | undefined,
): Finding | undefined {
  const { address, before, now, movedTo, kind } = change;
  const evidence = [
    `survey of ${timeWords(surveyedAt, zoneMinutes)}: ${address} ${kind === 'new' ? 'silent' : `held by ${before.join(', ') || 'a device behind a router'}`}`,
    `now: ${now.length === 0 ? 'silent' : now.join(', ')}`,
  ];
  const when = { surveyedAt, zoneMinutes };
  switch (kind) {
    case 'new':
      return finding('survey-new', address, { address, mac: now[0], ...when }, { evidence });
    case 'gone':
      return finding('survey-gone', address, { address, macs: before, ...when }, { evidence });
    case 'moved':
      return finding('survey-moved', address, { address, before, now, movedTo, ...when }, { evidence });
    case 'same':
      return undefined;
  }
}

/** Addresses that were really asked, with who answers. Claims of a router that answers for everything do not count. */
function laterLooks(view: View): Map<string, LaterLook> {
  const result = new Map<string, LaterLook>();
  for (const address of view.addresses) {
    const best = view.seen(address)[0];
    if (best === undefined || best.sighting.reach === 'no-route') continue;
    const claimed = claimedBy(view, [best]);
    const present = somebodyThere(claimed, best.responses);
    if (!present && best.sighting.presence.outcome !== 'unclaimed' && !anyAsked(best.responses)) continue;
    if (!present && best.sighting.reach === 'routed') continue;
    result.set(address, { macs: claimed.claimants.map(({ mac }) => mac), answers: present });
  }
  return result;
}
