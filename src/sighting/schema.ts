/** Shapes of what was seen, as far as rendering and judging again rely on them. */
import { z } from 'zod';

export const text = z.string();

const icmp = z.union([
  z.looseObject({ outcome: z.literal('replied'), rttMs: z.number() }),
  z.looseObject({ outcome: z.literal('no-reply') }),
  z.looseObject({ outcome: z.literal('unreachable'), detail: text }),
  z.looseObject({ outcome: z.literal('not-run'), reason: text }),
]);

/** `not-run` has a reason (DESIGN 7); other outcomes may carry what they like. */
function outcomes(...words: [string, ...string[]]): z.ZodType {
  return z.union([
    z.looseObject({ outcome: z.enum(words) }),
    z.looseObject({ outcome: z.literal('not-run'), reason: text }),
  ]);
}

const service = { port: z.number(), service: text };
const tcp = z.union([
  z.looseObject({ ...service, outcome: z.enum(['accepted', 'refused', 'no-reply', 'unreachable']) }),
  z.looseObject({ ...service, outcome: z.literal('not-run'), reason: text }),
]);
const proof = z.union([
  z.looseObject({
    ...service,
    protocol: z.enum(['tcp', 'udp']),
    outcome: z.enum(['proven', 'other-protocol', 'silent', 'refused', 'unreachable']),
  }),
  z.looseObject({
    ...service,
    protocol: z.enum(['tcp', 'udp']),
    outcome: z.literal('not-run'),
    reason: text,
  }),
]);

const presence = z.union([
  z.looseObject({
    outcome: z.literal('claimed'),
    claims: z.array(z.looseObject({ mac: text, method: text, count: z.number() })),
    methods: z.array(text),
    macs: z.array(text),
    duplicateCheck: z.enum(['proven', 'likely', 'not-excluded']),
  }),
  z.looseObject({ outcome: z.literal('unclaimed'), methods: z.array(text) }),
  z.looseObject({ outcome: z.literal('not-run'), reason: text }),
]);

/** Texts that may be absent and, where they are there, are texts. */
export function texts<const Key extends string>(...keys: readonly Key[]) {
  return Object.fromEntries(keys.map((key) => [key, text.optional()])) as Record<
    Key,
    z.ZodOptional<z.ZodString>
  >;
}

const web = z.looseObject({
  port: z.number(),
  status: z.number(),
  ...texts('title', 'server', 'location'),
});

export const identitySchema = z.looseObject({
  http: web.optional(),
  https: web.optional(),
  certificate: z
    .looseObject({
      subject: text,
      altNames: z.array(text),
      fingerprint256: text,
      validFrom: text,
      validTo: text,
    })
    .optional(),
  ssh: z.looseObject({ line: text }).optional(),
  snmp: z
    .looseObject({
      ...texts('sysName', 'sysDescr', 'sysObjectId', 'sysLocation', 'sysContact', 'engineId'),
      serials: z.array(text).optional(),
    })
    .optional(),
  redfish: z.looseObject(texts('uuid', 'product', 'vendor', 'redfishVersion')).optional(),
  changed: z.array(z.looseObject({ what: text, first: text, later: text })).optional(),
});

const seen = {
  reach: z.enum(['on-link', 'routed', 'no-route']),
  presence,
  icmp,
  tcp: z.array(tcp),
  proofs: z.array(proof),
  snmp: outcomes('replied', 'no-reply', 'refused', 'unreachable', 'rejected'),
  identity: identitySchema,
  mtu: outcomes('passes', 'smaller', 'no-reply'),
  iscsi: outcomes(
    'listed',
    'authentication-required',
    'redirected',
    'rejected',
    'not-iscsi',
    'half-open',
    'garbage',
    'refused',
    'no-reply',
    'unreachable',
  ),
};

export const endpointSightingSchema = z.looseObject({
  ...seen,
  vantage: text,
  at: text.optional(),
  macs: z.array(text),
  link: z.looseObject({}),
});

const link = z.looseObject({ ifIndex: z.number(), addresses: z.array(text) });

export const evidenceSchema = z.looseObject({
  vantage: z.looseObject({
    name: text,
    platform: text,
    interfaces: z.array(z.looseObject({ name: text, mac: text, addresses: z.array(text), up: z.boolean() })),
    routes: z.array(z.looseObject({ destination: text, interface: text })),
    abilities: z.looseObject({}),
  }),
  startedAt: text,
  finishedAt: text,
  stage: z.enum(['power-on', 'configured']),
  only: z.array(text).optional(),
  complete: z.boolean(),
  sightings: z.array(z.looseObject({ ...seen, address: text, own: z.boolean() })),
  links: z.array(z.looseObject({ device: text, askedAt: text, links: z.array(link) })),
  switches: z.array(
    z.looseObject({
      switch: text,
      ports: z.array(z.looseObject({ ifIndex: z.number(), name: text })),
      forwarding: z.array(z.looseObject({ mac: text, ifIndex: z.number() })),
      neighbours: z.array(z.looseObject({ localPort: text, chassisId: text, portId: text })),
      ownMacs: z.array(text),
    }),
  ),
  ownNeighbours: z.array(z.looseObject({ localPort: text, chassisId: text, portId: text })),
  proxyArp: z.array(
    z.looseObject({ network: text, mac: text, askedAddress: text, answeredBy: z.array(text) }),
  ),
  attestations: z.array(z.looseObject({ subject: text, item: text, saw: text, by: text, at: text })),
  drills: z.array(
    z.looseObject({
      group: text,
      pulled: z.looseObject({ kind: text, name: text }),
      outcome: text,
      ofSteps: z.number().optional(),
      by: text,
      resolutionMs: z.number(),
      gaps: z.array(z.looseObject({ endpoint: text, gapMs: z.number(), returned: z.boolean() })),
    }),
  ),
  notes: z.array(text),
});
