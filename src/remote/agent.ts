/**
 * What runs at the other place, in Node, from memory: one look with the plan it is sent, or a pulse of addresses, told line by line. Bundled into a text of its own
 * (bin/bundle.js), it ends with its input, so that nothing is left behind.
 */
import { setMaxListeners } from 'node:events';
import { Secret } from '../plan/secret.js';
import { keepPulse } from '../pulse/pulse.js';
import { realPulse } from '../pulse/question.js';
import type { ObserveDeps } from '../run/observe.js';
import { observe } from '../run/observe.js';
import { realSleep } from '../run/pace.js';
import type { Credential } from '../run/probe-set.js';
import { realDeps } from '../run/real.js';
import { programs } from '../system/programs.js';
import { cleanText } from '../text/clean.js';
import {
  type AgentMessage,
  type AgentRequest,
  ALIVE_EVERY_MS,
  type PulseMessage,
  type PulseRequest,
  type SentCredential,
} from './messages.js';
import { lookByPorts } from './port-looks.js';

/** Takes the text of the input, of which the first line is the request. */
export function begin(nonce: string): (text: string) => void {
  const say = (message: AgentMessage | PulseMessage, then?: () => void): void => {
    process.stdout.write(`${nonce} ${JSON.stringify(message)}\n`, then);
  };
  say({ kind: 'hello', at: Date.now() });
  setInterval(() => say({ kind: 'alive' }), ALIVE_EVERY_MS);
  let held = '';
  let begun = false;
  return (text) => {
    if (begun) return;
    held += text;
    const end = held.indexOf('\n');
    if (end < 0) return;
    begun = true;
    const leave = (): void => process.exit(0);
    const request = JSON.parse(held.slice(0, end)) as AgentRequest | PulseRequest;
    if (request.kind === 'pulse') return void pulse(request, say);
    look(request, say).then(
      (evidence) => say({ kind: 'evidence', evidence: { ...evidence, sightings: [] } }, leave),
      (error: unknown) => say({ kind: 'fault', said: cleanText(String(error)) }, leave),
    );
  };
}

function pulse(
  { targets, everyMs, framesPerSecond }: PulseRequest,
  say: (message: PulseMessage) => void,
): Promise<void> {
  const { signal } = new AbortController();
  setMaxListeners(0, signal);
  return keepPulse(
    () => targets,
    { ...realPulse(everyMs), framesPerSecond },
    realSleep,
    signal,
    (address, alive) => say({ kind: 'pulse', address, alive }),
  );
}

async function look(request: AgentRequest, say: (message: AgentMessage) => void) {
  const { plan, stage, only, name, pace } = request;
  const snmp = Object.fromEntries(request.credentials.map(({ credential }) => [credential.name, credential]));
  const deps = withCredentials(realDeps({ env: {}, platform: process.platform }), request);
  const { signal } = new AbortController();
  // Every question listens to it; Node would take more than ten for a leak and say so on the laptop's screen.
  setMaxListeners(0, signal);
  const seen = await observe(
    {
      plan: { ...plan, snmp },
      stage,
      only,
      vantageName: name,
      pace,
      onEntry: (entry) => say({ kind: 'entry', entry }),
    },
    deps,
    signal,
    (progress) => say({ kind: 'progress', progress }),
  );
  const ports = await lookByPorts(
    seen.vantage,
    { plan, stage, only, pace },
    { programs, now: () => new Date() },
    signal,
  );
  for (const { port, evidence } of ports) say({ kind: 'port', port, evidence });
  return seen;
}

/** The credentials that came along, and a vantage that knows how it was reached. */
function withCredentials(deps: ObserveDeps, { credentials, from }: AgentRequest): ObserveDeps {
  const sent = new Map(credentials.map((one) => [one.credential.name, one]));
  return {
    ...deps,
    surroundings: {
      ...deps.surroundings,
      vantage: async (name) => ({ ...(await deps.surroundings.vantage(name)), from }),
    },
    probes: { ...deps.probes, resolveCredential: async ({ name }) => credentialOf(name, sent.get(name)) },
  };
}

function credentialOf(name: string, sent: SentCredential | undefined): Credential {
  if (sent?.secrets === undefined)
    return { missing: `the secret of ${name} was not sent to this place (--send-secrets)` };
  const { version, port, user, level, auth, priv } = sent.credential;
  const secrets = Object.fromEntries(
    Object.entries(sent.secrets).map(([part, value]) => [part, new Secret(value)]),
  );
  return { name, version, port, user, level, auth, priv, ...secrets };
}
