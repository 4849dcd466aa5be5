/** What changed since the survey before power-on; `zoneMinutes`: minutes that its time is told ahead of UTC. */
import { list } from '../../text/sentence.js';
import { timeWords } from '../../text/time.js';
import { rule } from '../define.js';

export const SURVEY_RULES = {
  'survey-new': rule<{
    address: string;
    mac?: string | undefined;
    surveyedAt: string;
    zoneMinutes?: number | undefined;
  }>({
    severity: 'note',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'New since the survey',
    message: ({ address, mac, surveyedAt, zoneMinutes }) =>
      `${address}${mac === undefined ? '' : ` (${mac})`} answers now and was silent in the survey of ${timeWords(surveyedAt, zoneMinutes)}; the plan does not have it.`,
    advice: ({ address }) => `Find out whether ${address} is one of your devices on a wrong address.`,
    explain: {
      means: 'An address outside the plan answers now and did not when the site was surveyed.',
      matters:
        'What appears while you install is most often one of your own devices with a mistyped address.',
      seen: 'The same address was asked in the survey and stayed silent.',
      todo: 'Compare its MAC with the labels of the new equipment.',
    },
  }),

  'survey-gone': rule<{
    address: string;
    macs: readonly string[];
    surveyedAt: string;
    zoneMinutes?: number | undefined;
  }>({
    severity: 'note',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Gone since the survey',
    message: ({ address, macs, surveyedAt, zoneMinutes }) =>
      `${address}${macs.length === 0 ? '' : ` (${list(macs)})`} answered in the survey of ${timeWords(surveyedAt, zoneMinutes)} and is silent now.`,
    advice: ({ address }) =>
      `If nobody was asked to move it, tell the site that ${address} went silent during the work: a cable may have been pulled.`,
    explain: {
      means: 'A device that was there before the work is not there now.',
      matters: 'Either somebody cleared the address as asked, or something that was in use was disconnected.',
      seen: 'The address answered in the survey and was asked again in this run without an answer.',
      todo: 'Ask the site. If it was an address that had to be cleared, all is well.',
    },
  }),

  'survey-moved': rule<{
    address: string;
    before: readonly string[];
    now: readonly string[];
    /** Address where the earlier MAC answers now. */
    movedTo?: string | undefined;
    surveyedAt: string;
    zoneMinutes?: number | undefined;
  }>({
    severity: 'note',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Moved since the survey',
    message: ({ address, before, now, movedTo, surveyedAt, zoneMinutes }) =>
      `${address} was held by ${list(before)} in the survey of ${timeWords(surveyedAt, zoneMinutes)}${
        movedTo === undefined ? '' : `; that device answers at ${movedTo} now`
      }${now.length === 0 ? '' : `; ${list(now)} holds ${address} now`}.`,
    advice: ({ movedTo }) =>
      movedTo === undefined
        ? 'Make sure that the earlier device was removed on purpose and will not come back on this address.'
        : `Nothing to do if ${movedTo} is where that device belongs.`,
    explain: {
      means:
        'The device behind an address is another one than in the survey, or it answers at another address now.',
      matters: 'A device that only lost its address for a while comes back and clashes.',
      seen: 'The MACs of the survey are compared with those of this run.',
      todo: 'Ask the site what was changed.',
    },
  }),
} as const;
