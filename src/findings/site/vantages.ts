/** About the places that were looked from: one that could not be used, two that saw different things, clocks that do not agree. */
import { list } from '../../text/sentence.js';
import { rule } from '../define.js';

/** One thing that answered in some places and not in others. */
export interface Disagreement {
  /** `the address`, or a service by its name. */
  readonly what: string;
  readonly answered: readonly string[];
  readonly silent: readonly string[];
}

export const VANTAGE_RULES = {
  'vantage-failed': rule<{ vantage: string; place: string; reason: string }>({
    severity: 'note',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'A place could not be looked from',
    message: ({ vantage, place, reason }) => `Nothing was asked from ${vantage} (${place}): ${reason}.`,
    advice: ({ vantage, place }) =>
      `Try "ssh ${place.replace(/^ssh:\/\//, '')}" by hand until it works without a password, then check again; or leave ${vantage} out.`,
    explain: {
      means:
        'The run was to look from this place as well, and could not log in there or could not read what came back.',
      matters: 'What only this place could have seen stays unproven. What the other places saw stands.',
      seen: 'The system’s own ssh program was started with the place’s name, asked for no password and skipped no host key.',
      todo: 'Log in once by hand: that shows whether the name, the host key or the login key is missing. Then check again.',
    },
  }),

  'places-disagree': rule<{ endpoint: string; address: string; differences: readonly Disagreement[] }>({
    severity: 'fix',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'It answers one place and not another',
    message: ({ endpoint, address, differences }) =>
      `${endpoint} (${address}): ${differences
        .map(
          ({ what, answered, silent }) =>
            `${what} answers ${list(answered, 4)}, and not ${list(silent, 4, 'or')}`,
        )
        .join('; ')}.`,
    advice: ({ endpoint, differences }) => {
      const silent = [...new Set(differences.flatMap((one) => one.silent))];
      return `Follow the way from ${list(silent, 4)} to ${endpoint}: cable, switch port, VLAN, link between the switches, a filter on the way. Then check again from the same places.`;
    },
    explain: {
      means:
        'Several places were looked from. One got an answer and another, from which others of the same network do answer, got none.',
      matters:
        'The device is there, but not for everybody: a host that cannot reach a storage port has one path less, and nobody sees it from the laptop.',
      seen: 'The answers of each place, side by side. A place that stands on another network, or on none, does not count.',
      todo: 'Compare the two ways to the device: what only the silent one goes through is where the fault is. Where the looks lie hours apart, look again from both first.',
    },
  }),

  'vantage-clock-differs': rule<{
    vantage: string;
    other: string;
    aheadSeconds: number;
    /** Devices whose web pages told it; empty where the place told its own time. */
    by: readonly string[];
  }>({
    severity: 'note',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'The clocks of two places differ',
    message: ({ vantage, other, aheadSeconds, by }) =>
      `The clock of ${vantage} is ${duration(aheadSeconds)} ${aheadSeconds < 0 ? 'behind' : 'ahead of'} that of ${other}${by.length === 0 ? '' : `, by the time that ${list(by, 4)} told both`}.`,
    advice: ({ vantage, other }) =>
      `Set the clocks of ${vantage} and ${other} before their logs are held side by side; which look was later cannot be told from their times.`,
    explain: {
      means: 'Two places that were looked from do not have the same time.',
      matters:
        'Times in this result come from both. Which of two looks was the later one decides which of them counts, and certificates are judged by these clocks.',
      seen: 'The time that a place told when it was looked from, or what devices told both places (Date header, RFC 9110 section 6.6.1) against their own clocks.',
      todo: 'Set the clock that is wrong, then check again from that place.',
    },
  }),
} as const;

function duration(seconds: number): string {
  const whole = Math.abs(Math.round(seconds));
  if (whole < 120) return `${whole} seconds`;
  if (whole < 7_200) return `${Math.round(whole / 60)} minutes`;
  return whole < 172_800 ? `${Math.round(whole / 3_600)} hours` : `${Math.round(whole / 86_400)} days`;
}
