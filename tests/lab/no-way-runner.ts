// Every kind of question to addresses that this network namespace has no way to. Prints what came of each; a fault of its own ends it.
import { Secret } from '../../src/plan/secret.js';
import { probeIscsi } from '../../src/probe/iscsi.js';
import { proveService } from '../../src/probe/services.js';
import type { Cause } from '../../src/sighting/types.js';
import { probeSnmp } from '../../src/snmp/agent.js';
import { readLinks } from '../../src/snmp/links.js';

export interface NoWay {
  readonly address: string;
  readonly outcomes: readonly {
    readonly asked: string;
    readonly outcome: string;
    readonly cause?: Cause | undefined;
  }[];
}

const patience = { timeoutMs: 300, attempts: 2 };
const { signal } = new AbortController();
const credential = { name: 'lab', version: '2c', port: 161, community: new Secret('loft-read') } as const;

async function ask(address: string): Promise<NoWay> {
  const https = await proveService(
    { address, service: { name: 'https', protocol: 'tcp', port: 443 } },
    patience,
    signal,
  );
  const iscsi = await probeIscsi({ address, port: 3260 }, patience, signal);
  const service = { name: 'snmp', protocol: 'udp', port: 161 } as const;
  const unnamed = await probeSnmp({ address, service }, patience, signal);
  const snmp = await probeSnmp({ address, service, credential }, patience, signal);
  const links = await readLinks({ address, credential, device: 'vault-1' }, patience, signal);
  const of = (asked: string, { outcome, cause }: { outcome: string; cause?: Cause | undefined }) => ({
    asked,
    outcome,
    cause,
  });
  return {
    address,
    outcomes: [
      of('https', https.proof),
      of('iscsi', iscsi),
      of('snmp without a credential', unnamed.proof),
      of('snmp', snmp.sighting),
      of('links', { outcome: links.links.length === 0 ? 'nothing' : 'links', cause: links.cutBecause }),
    ],
  };
}

async function main(): Promise<void> {
  const asked = await Promise.all(process.argv.slice(2).map(ask));
  process.stdout.write(JSON.stringify(asked), () => process.exit(0));
}

void main();
