/** One short sentence a change. Clean: subjects and reasons may hold what a file or a device said. */
import { cleanText } from '../text/clean.js';
import { GROUP_MARKS } from '../text/marks.js';
import { list } from '../text/sentence.js';
import type { Change } from './changes.js';

const SERVICE = {
  accepted: 'now accepts connections',
  refused: 'now refuses connections',
  'no-reply': 'is silent now',
  unreachable: 'is unreachable now',
} as const;

export function changeText(change: Change): string {
  return `${cleanText(change.subject, 120)}: ${predicate(change)}`;
}

function predicate(change: Change): string {
  switch (change.kind) {
    case 'answers':
      return `now answers${seenFrom(change.from)}`;
    case 'silent':
      return `no longer answers${seenFrom(change.from)}`;
    case 'out-of-reach':
      return `can no longer be asked from here: ${cleanText(change.why, 300)}`;
    case 'device':
      if (change.now.length > 1)
        return `is claimed by ${change.now.length} devices at once: ${list(change.now)}`;
      return `now answers from another device: ${list(change.now)}, before ${list(change.before)}`;
    case 'echo':
      return change.now ? 'now replies to echo' : 'no longer replies to echo';
    case 'service':
      return `${cleanText(change.service, 40)} ${SERVICE[change.now]}`;
    case 'verdict': {
      const why = change.reason === undefined ? '' : `: ${cleanText(change.reason, 300)}`;
      return `was ${change.before}, now ${change.now}${why}`;
    }
    case 'group':
      return `was ${GROUP_MARKS[change.before].word}, now ${GROUP_MARKS[change.now].word}`;
    case 'stop':
      return `STOP: ${cleanText(change.message, 300)}`;
  }
}

function seenFrom(place: string | undefined): string {
  return place === undefined ? '' : `, seen from ${cleanText(place, 60)}`;
}
