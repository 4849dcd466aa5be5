/** What is not as it was a look ago. Facts only; src/follow/wording.ts makes sentences of them. */
import type { EndpointVerdict, GroupVerdict, Matrix } from '../matrix/matrix.js';
import type { TcpOutcome } from '../sighting/types.js';
import type { AddressState, SiteState } from './state.js';

export type Change = {
  readonly subject: string;
} /** `from`: the other place that tells it; absent: the laptop itself. */ & (
  | { readonly kind: 'answers' | 'silent'; readonly from?: string | undefined }
  | { readonly kind: 'out-of-reach'; readonly why: string }
  | { readonly kind: 'device'; readonly before: readonly string[]; readonly now: readonly string[] }
  | { readonly kind: 'echo'; readonly now: boolean }
  | { readonly kind: 'service'; readonly service: string; readonly now: TcpOutcome }
  | {
      readonly kind: 'verdict';
      readonly before: EndpointVerdict;
      readonly now: EndpointVerdict;
      readonly reason?: string | undefined;
    }
  | { readonly kind: 'group'; readonly before: GroupVerdict; readonly now: GroupVerdict }
  | { readonly kind: 'stop'; readonly message: string }
);

/** Between two looks. A subject that one of them did not ask about is in none of the changes. */
export function changesBetween(before: SiteState, now: SiteState): Change[] {
  return [...now].flatMap(([subject, later]) => {
    const earlier = before.get(subject);
    return earlier === undefined ? [] : changesOf(subject, earlier, later);
  });
}

function changesOf(subject: string, before: AddressState, now: AddressState): Change[] {
  if (now.is === 'unknown')
    return before.is === 'unknown' ? [] : [{ subject, kind: 'out-of-reach', why: now.why }];
  if (now.is === 'silent') return before.is === 'there' ? [{ subject, kind: 'silent' }] : [];
  if (before.is !== 'there')
    return [
      { subject, kind: 'answers' },
      // Two devices at once are news also where nobody was before.
      ...(now.macs.length > 1 ? [{ subject, kind: 'device', before: [], now: now.macs } as const] : []),
    ];
  const changes: Change[] = [];
  if (before.macs.length > 0 && now.macs.length > 0 && before.macs.join() !== now.macs.join())
    changes.push({ subject, kind: 'device', before: before.macs, now: now.macs });
  if (before.echo !== undefined && now.echo !== undefined && before.echo !== now.echo)
    changes.push({ subject, kind: 'echo', now: now.echo });
  for (const [service, outcome] of now.services) {
    const earlier = before.services.get(service);
    if (earlier !== undefined && earlier !== outcome)
      changes.push({ subject, kind: 'service', service, now: outcome });
  }
  return changes;
}

/** Between two results of the same plan: verdicts of endpoints and groups, and what is to be made safe now. */
export function verdictChanges(before: Matrix, now: Matrix): Change[] {
  const endpoints = new Map(before.endpoints.map(({ id, verdict }) => [id, verdict]));
  const groups = new Map(before.groups.map(({ name, verdict }) => [name, verdict]));
  const key = ({ code, subject }: { code: string; subject: string }): string => `${code}\n${subject}`;
  const known = new Set(before.findings.map(key));
  return [
    ...now.endpoints.flatMap(({ id, verdict, reasons }): Change[] => {
      const earlier = endpoints.get(id);
      if (earlier === undefined || earlier === verdict) return [];
      const reason = verdict === 'matches' ? undefined : reasons[0];
      return [
        {
          subject: id,
          kind: 'verdict',
          before: earlier,
          now: verdict,
          ...(reason === undefined ? {} : { reason }),
        },
      ];
    }),
    ...now.groups.flatMap(({ name, verdict }): Change[] => {
      const earlier = groups.get(name);
      return earlier === undefined || earlier === verdict
        ? []
        : [{ subject: name, kind: 'group', before: earlier, now: verdict }];
    }),
    ...now.findings
      .filter((finding) => finding.severity === 'stop' && !known.has(key(finding)))
      .map(({ subject, message }): Change => ({ subject, kind: 'stop', message })),
  ];
}
