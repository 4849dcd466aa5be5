/** The small question set of `follow`: who claims the address, echo, and whether the TCP services take connections. */
import type { ServiceTarget } from '../probe/service-probe.js';
import type { ObserveDeps } from '../run/observe.js';
import { DEFAULT_PATIENCES, type Patiences } from '../run/patience.js';
import type { ServiceProof } from '../sighting/types.js';

const REASON = 'a quick look asks nothing more';
const NOT_RUN = { outcome: 'not-run', cause: 'needs-another-answer', reason: REASON } as const;

/** The second looks are short: what they miss, the full look that follows a change does not. */
export const QUICK_PATIENCES: Patiences = {
  ...DEFAULT_PATIENCES,
  echo: { timeoutMs: 1000, attempts: 4 },
  connect: { timeoutMs: 250, attempts: 4, lastMs: 1000 },
};

export function quickLook(deps: ObserveDeps): ObserveDeps {
  const proof = async ({
    service,
  }: Pick<ServiceTarget, 'service'>): Promise<{ readonly proof: ServiceProof }> => ({
    proof: { service: service.name, protocol: service.protocol, port: service.port, ...NOT_RUN },
  });
  return {
    ...deps,
    probes: {
      ...deps.probes,
      prove: async (target, patience, signal) => ({
        ...(await proof(target)),
        tcp: await deps.probes.tcp(target, target.connect ?? patience, signal),
      }),
      snmp: async (target) => ({ sighting: NOT_RUN, ...(await proof(target)) }),
      redfish: async () => NOT_RUN,
      iscsi: async () => NOT_RUN,
      mtu: async () => NOT_RUN,
    },
  };
}
