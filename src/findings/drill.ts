import { capital } from '../text/sentence.js';
import { rule } from './define.js';

export interface DrillFacts {
  readonly group: string;
  /** `switch data-switch-a`. */
  readonly pulled: string;
  readonly by: string;
  /** The longest gap of an endpoint of the group, in seconds with one decimal, and of which. */
  readonly longest?: { readonly endpoint: string; readonly seconds: string } | undefined;
  /** The computation had named this thing as a single point already. */
  readonly known: boolean;
}

/** What a pull test showed that the computation alone cannot. */
export const DRILL_RULES = {
  'drill-lost': rule<DrillFacts>({
    severity: 'fix',
    family: 'redundancy',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'A pull test ended the group',
    message: ({ group, pulled, longest, known }) => {
      const gap = longest === undefined ? '' : ` (longest gap: ${longest.endpoint}, ${longest.seconds} s)`;
      return `Pulling ${pulled} ended ${group}${gap}${known ? ', as its single point says' : ', though another path was found'}.`;
    },
    advice: ({ group, pulled, known }) =>
      known
        ? `Fix the single point of ${group} first, then repeat the pull test.`
        : `Look whether the other paths of ${group} really avoid ${pulled}: a cable in the wrong port, one shared part, or a takeover that is switched off. Then repeat the pull test.`,
    explain: {
      means:
        'During a guided pull test one thing was taken away and the group fell below the paths that it needs.',
      matters:
        'Redundancy that is there on paper and in the cabling can still fail: a takeover takes too long, is switched off, or something is shared that no table shows.',
      seen: 'Every endpoint of the group was asked at the stated interval while the thing was away; the gaps stand in the result.',
      todo: 'Find what the remaining paths share with the thing that was pulled, fix it, and repeat the pull test for this step.',
    },
  }),
  'drill-not-noticed': rule<DrillFacts>({
    severity: 'note',
    family: 'redundancy',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'A pull test that nothing noticed',
    message: ({ group, pulled }) =>
      `${capital(pulled)} was said to be pulled in the pull test of ${group}, and nothing that hangs on it went away.`,
    advice: ({ pulled }) =>
      `Make sure that ${pulled} was the thing that was pulled: the label or the plan may be wrong. Then repeat the step.`,
    explain: {
      means: 'The step was confirmed, but no endpoint that should have lost its path did.',
      matters:
        'Either another thing was pulled than the one named, so that labels or plan are wrong, or the path does not run where the plan says.',
      seen: 'The endpoints that hang on the thing answered through the whole step.',
      todo: 'Follow the cable by hand, compare with `wrong-switch-port`, correct label or plan, and repeat the step.',
    },
  }),
} as const;
