/** Said where more was found of one device than is kept. */
import { count } from '../../text/sentence.js';
import { rule } from '../define.js';

export const LEFT_OUT_RULES = {
  'findings-left-out': rule<{ subject: string; count: number }>({
    severity: 'note',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'More was found than is kept',
    message: ({ subject, count: many }) =>
      `${count(many, 'further finding')} about ${subject} ${many === 1 ? 'is' : 'are'} left out: more was found of it than is kept.`,
    advice: ({ subject }) => `Fix what is listed of ${subject}, then check again: the rest is listed then.`,
    explain: {
      means:
        'So much is wrong with one device, or it says so much that is untrue, that its findings would fill the whole result.',
      matters:
        'Nothing of the other devices is left out for it. What weighs least of this one is left out first.',
      seen: 'The findings of each device are counted and measured before they are written.',
      todo: 'Fix what is listed first. A device that says something else at every look may be faulty or hostile: take it off the network.',
    },
  }),
} as const;
