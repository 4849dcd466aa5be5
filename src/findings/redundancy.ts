import { formatSpeed } from '../plan/speed.js';
import { count, list } from '../text/sentence.js';
import { rule } from './define.js';

export const REDUNDANCY_RULES = {
  'too-many-paths': rule<{
    group: string;
    paths: number;
    limit: { readonly each: number; readonly sum: number };
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'More paths than are judged',
    message: ({ group, paths, limit }) =>
      paths > limit.each
        ? `${group} would have ${count(paths, 'path')}; a group is judged up to ${limit.each}.`
        : `${group} would have ${count(paths, 'path')}; with the groups before it that is more than ${limit.sum}.`,
    advice: () =>
      'Split it: name fewer ports in the group that it leads to, or write one group for each adapter.',
    explain: {
      means:
        'A group with `from` and `to` has a path for each pair of a host port and a data port in one network. This one has so many that the result could not be read any more.',
      matters: 'The group stays unproven: nobody can say whether it survives a failure.',
      seen: 'Counted from the rows of the plan, before anything is asked.',
      todo: 'Look whether a network or a role was filled down too far in the list. Otherwise split the group.',
    },
  }),
  'group-not-independent': rule<{
    group: string;
    /** Each as words: `switch loft-switch-1`. */
    things: readonly string[];
    promised: boolean;
    inferred: boolean;
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'never-redundant',
    title: 'Planned paths share one thing',
    message: ({ group, things, promised, inferred }) =>
      `The paths of ${group} are planned to run through the same ${list(things)}, ${
        promised
          ? 'although the plan says that they are independent'
          : inferred
            ? 'so that one failure ends them all (the group is not in the plan; it follows from matching ports of the controllers)'
            : 'so that one failure ends them all'
      }.`,
    advice: ({ things }) =>
      `Plan at least one path of the group that does not need ${list(things, 8, 'or')}, or change what the plan says of the group, and have the customer agree to it.`,
    explain: {
      means:
        'As planned, too few paths are left when one thing fails (a controller, a switch, a network, a feed or another kind that `independent` names).',
      matters:
        'Two cables into one switch look like redundancy on the rack and on the invoice, and end together. It costs nothing to plan otherwise, and a visit to repair.',
      seen: 'From the plan alone, by taking each thing away and counting the paths that are left. A network counts where `independent` names it or where the paths are planned over more than one; everything else counts always.',
      todo: 'Move one of the planned ports to another switch, controller or feed. Where the site has only one, say so to the customer before the visit and list only the other kinds under `independent`.',
    },
  }),
  'group-single-path': rule<{ group: string; planned: number; need: number; paths: readonly string[] }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'never-redundant',
    title: 'No spare path planned',
    message: ({ group, planned, need, paths }) =>
      planned === 1
        ? `The group ${group} has one planned path only, ${paths[0] ?? 'unnamed'}: every part of it is a single point.`
        : `The group ${group} needs all of its ${count(planned, 'planned path')} (need: ${need}): the loss of any one would end it.`,
    advice: ({ planned, need }) =>
      planned === 1
        ? 'Add the second path to the address list under the same group, or drop the group if one path is meant.'
        : `Add a path to the group, or lower need below ${need} if fewer paths carry the load.`,
    explain: {
      means: 'The group has exactly as many planned paths as it needs, so none may fail.',
      matters:
        'A group is written down because something has to survive a failure. This one cannot, whatever is cabled.',
      seen: 'From the plan alone, by counting: the members of the group, or for a group with `from` and `to` the pairs of a host port and a data port on the same network.',
      todo: 'Check that every endpoint of the group carries its name in the column `group`, that host and data ports name the same network, and that `need` is what the load asks for.',
    },
  }),
  'need-not-met-by-plan': rule<{
    group: string;
    planned: number;
    need: number;
    why: string | undefined;
  }>({
    severity: 'stop',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'never-redundant',
    title: 'Fewer paths planned than needed',
    message: ({ group, planned, need, why }) =>
      `The group ${group} needs ${count(need, 'path')} and has ${planned} planned${why === undefined ? '' : `: ${why}`}.`,
    advice: () =>
      'Complete the group in the plan before the visit: as it stands it cannot work even if everything is cabled right.',
    explain: {
      means:
        'Even with every planned cable in place and every endpoint answering, the group does not reach its `need`.',
      matters: 'The plan contradicts itself; whoever cables by it cannot deliver what it promises.',
      seen: 'From the plan alone. For a group with `from` and `to`, a path is a pair of a host port (role `host`) of the device and a data port of the other group on the same network; a Fibre Channel fabric is written as a network without addresses.',
      todo: 'Look for a misspelled group, network or device name first: a host port on `data_a` and a data port on `data-a` make no path.',
    },
  }),
  'paths-unequal': rule<{
    group: string;
    measured: boolean;
    /** Slowest first. */
    speeds: readonly { readonly path: string; readonly mbps: number }[];
  }>({
    severity: 'note',
    family: 'redundancy',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Paths of unequal speed',
    message: ({ group, measured, speeds }) =>
      `The paths of ${group} ${measured ? 'came up at' : 'are planned with'} unequal speeds: ${list(
        speeds.map(({ path, mbps }) => `${path} ${formatSpeed(mbps)}`),
      )}.`,
    advice: () =>
      'Make sure that the slowest path alone carries the load, or that the host is set to prefer the fast ones.',
    explain: {
      means: 'Within one group, the paths do not have the same planned or measured speed.',
      matters:
        'Multipath software that takes turns runs all paths at the pace of the slowest, and after a failure the slow path may be all there is.',
      seen: 'From the planned speeds, and on site from ifHighSpeed (IF-MIB, RFC 2863) at the device and at the switch port. The speed of a path is that of its slowest end.',
      todo: 'Look for a wrong transceiver, a fixed speed setting or a damaged cable on the slow path; if it is meant, have the plan say so in the notes.',
    },
  }),
  'path-missing': rule<{
    group: string;
    path: string;
    live: number;
    planned: number;
    need: number;
  }>({
    severity: 'fix',
    family: 'redundancy',
    column: undefined,
    endsPath: false,
    consequence: true,
    joins: 'none',
    title: 'A planned path does not work',
    message: ({ group, path, live, planned, need }) =>
      `The path ${path} of ${group} does not work; ${live} of ${count(planned, 'planned path')} proven to work, ${need} needed.`,
    advice: ({ path }) =>
      `Bring ${path} up before handover: check cable, port and address at that endpoint, then run the check again.`,
    explain: {
      means:
        'An endpoint that a planned path runs through does not give its planned services, or another device answers there.',
      matters:
        'Everything may work today over the other path. The missing one is noticed on the day the other fails.',
      seen: 'A path is broken when one of its endpoints was proven not to work from a place that could have seen it. What could not be tested from here is unproven and never makes this finding. A slow link, a small MTU or a wrong switch port leave a path working.',
      todo: 'Follow the finding of that endpoint (for example `endpoint-missing`, `service-refused` or `wrong-device`), then repeat the check.',
    },
  }),
  'single-point': rule<{
    group: string;
    things: readonly string[];
    /** plan = it was planned like this; site = the plan had a way around and the site has not. */
    origin: 'plan' | 'site';
    live: number;
    need: number;
  }>({
    severity: 'fix',
    family: 'redundancy',
    column: undefined,
    endsPath: false,
    consequence: true,
    joins: 'none',
    title: 'One failure would end it',
    message: ({ group, things, origin, live, need }) =>
      `The group ${group} works over ${count(live, 'path')} (needs ${need}) and would not survive the loss of ${
        things.length === 0 ? 'any one of them' : list(things, 8, 'or')
      }; ${
        origin === 'plan' ? 'it was planned like this' : 'the plan has another path, and the site does not'
      }.`,
    advice: ({ origin }) =>
      origin === 'plan'
        ? 'Cabling cannot fix this: change the plan, or have the customer accept it in writing.'
        : 'Bring up the missing paths and move wrongly placed cables to the planned switch ports, then run the check again.',
    explain: {
      means:
        'One thing (controller, switch, network, feed, adapter …) carries so many of the working paths that without it too few are left.',
      matters: 'The group works now, and one failure or one service job ends it: redundancy on paper only.',
      seen: 'Each thing that the working paths run through is taken away in turn and the paths left are counted; the same is done for the plan, so that a plan that was never redundant is told apart from a site that is not cabled as planned. The switch of a path is the one where the forwarding table or LLDP shows it, else the planned one.',
      todo: 'If the plan has another path, look at the missing paths and at `wrong-switch-port`. If it had none, the plan must change. A pull test proves the result.',
    },
  }),
  'group-lost': rule<{ group: string; live: number; planned: number; need: number }>({
    severity: 'fix',
    family: 'redundancy',
    column: undefined,
    endsPath: false,
    consequence: true,
    joins: 'none',
    title: 'No way through',
    message: ({ group, live, planned, need }) =>
      `The group ${group} does not work: it needs ${count(need, 'path')} and ${live} of ${planned} planned paths ${live === 1 ? 'works' : 'work'}.`,
    advice: () => 'Bring up the missing paths first: until then nothing that hangs on this group can work.',
    explain: {
      means: 'Fewer paths work than the group needs, even if every path that could not be tested did work.',
      matters: 'Whatever uses the group has no access, or not enough of it.',
      seen: 'By counting working and unproven paths of the group against `need`.',
      todo: 'Start with power and with what the paths have in common, then go through the `path-missing` findings of the group.',
    },
  }),
} as const;
