/** One vantage's sighting of one endpoint as lines of plain text, for the folded evidence. */

import type { EndpointSighting } from '../matrix/matrix.js';
import { formatSpeed } from '../plan/speed.js';
import { formatMs } from '../result/format-ms.js';
import { isLink } from '../result/told-facts.js';
import type { IdentitySighting } from '../sighting/types.js';
import { list } from '../text/sentence.js';

const DUPLICATE_WORDS = {
  proven: 'no second device, proven',
  'in-turn': 'one device after another',
  'not-excluded': 'a second device could not be excluded',
} as const;

const REACH_WORDS = {
  'on-link': 'on the same link',
  routed: 'through a router',
  'no-route': 'no route from here',
} as const;

export function evidenceLines(sighting: EndpointSighting): readonly string[] {
  const skipped = new Map<string, string[]>();
  const skip = (what: string, reason: string): undefined => {
    const known = skipped.get(reason);
    if (known) known.push(what);
    else skipped.set(reason, [what]);
    return undefined;
  };
  const lines = [
    `Reach: ${REACH_WORDS[sighting.reach]}${sighting.interface === undefined ? '' : `, out of ${sighting.interface}`}`,
    addressLine(sighting, skip),
    echoLine(sighting, skip),
    tcpLine(sighting, skip),
    proofLine(sighting, skip),
    snmpLine(sighting, skip),
    ...identityLines(sighting.identity),
    linkLine(sighting),
    mtuLine(sighting, skip),
    sighting.cabling === undefined
      ? undefined
      : `Switch port: ${sighting.cabling.switch} ${sighting.cabling.port}, by ${sighting.cabling.by} of ${sighting.cabling.mac}`,
    iscsiLine(sighting, skip),
    ...[...skipped].map(([reason, what]) => `Not asked: ${list([...new Set(what)])} (${reason})`),
  ];
  return lines.filter((line) => line !== undefined);
}

type Skip = (what: string, reason: string) => undefined;

function addressLine({ presence }: EndpointSighting, skip: Skip): string | undefined {
  switch (presence.outcome) {
    case 'not-run':
      return skip('presence on the link', presence.reason);
    case 'unclaimed':
      return `Address: nobody claims it, asked ${presence.asked} times (${presence.methods.join(', ')})`;
    case 'claimed': {
      const why = presence.duplicateCheckReason === undefined ? '' : `: ${presence.duplicateCheckReason}`;
      return `Address: claimed by ${list(presence.macs)} (${presence.methods.join(', ')}); ${presence.macs.length > 1 ? 'more than one device claims it' : `${DUPLICATE_WORDS[presence.duplicateCheck]}${why}`}`;
    }
  }
}

function echoLine({ icmp }: EndpointSighting, skip: Skip): string | undefined {
  switch (icmp.outcome) {
    case 'not-run':
      return skip('echo', icmp.reason);
    case 'replied':
      return `Echo: replied in ${formatMs(icmp.rttMs)}, ${icmp.received} of ${icmp.sent}`;
    case 'no-reply':
      return `Echo: no reply to ${icmp.sent}`;
    case 'unreachable':
      return `Echo: unreachable, ${icmp.detail}${icmp.by === undefined ? '' : ` (told by ${icmp.by})`}`;
  }
}

function tcpLine({ tcp }: EndpointSighting, skip: Skip): string | undefined {
  const told = tcp.flatMap((each) => {
    if (each.outcome === 'not-run') {
      skip(`TCP ${each.port}`, each.reason);
      return [];
    }
    const took = each.connectMs === undefined ? '' : ` in ${formatMs(each.connectMs)}`;
    return [`${each.port} ${each.outcome}${took}${each.detail === undefined ? '' : ` (${each.detail})`}`];
  });
  return told.length === 0 ? undefined : `TCP: ${told.join('; ')}`;
}

function proofLine({ proofs }: EndpointSighting, skip: Skip): string | undefined {
  const told = proofs.flatMap((each) => {
    if (each.outcome === 'not-run') {
      skip(each.service, each.reason);
      return [];
    }
    return [`${each.service} ${each.outcome}${each.detail === undefined ? '' : ` (${each.detail})`}`];
  });
  return told.length === 0 ? undefined : `Services: ${told.join('; ')}`;
}

function snmpLine({ snmp }: EndpointSighting, skip: Skip): string | undefined {
  switch (snmp.outcome) {
    case 'not-run':
      return skip('SNMP', snmp.reason);
    case 'replied':
      return `SNMP: replied, version ${snmp.version}, credential ${snmp.credential}`;
    default:
      return `SNMP: ${snmp.outcome}, credential ${snmp.credential}${snmp.detail === undefined ? '' : ` (${snmp.detail})`}`;
  }
}

function identityLines(identity: IdentitySighting): string[] {
  const { snmp, certificate, https, http, ssh, redfish } = identity;
  const lines: string[] = [];
  const add = (label: string, parts: readonly (string | undefined)[]): void => {
    const said = parts.filter((part) => part !== undefined && part !== '');
    if (said.length > 0) lines.push(`${label}: ${said.join('; ')}`);
  };
  add('Says by SNMP', [
    snmp?.sysName,
    snmp?.sysDescr,
    snmp?.sysLocation,
    snmp?.serials && `serial ${list(snmp.serials)}`,
  ]);
  add('Says by Redfish', [redfish?.vendor, redfish?.product, redfish?.uuid]);
  add('Says by HTTPS', [https?.title, https?.server, https && `status ${https.status}`]);
  add('Says by HTTP', [http?.title, http?.server, http && `status ${http.status}`]);
  add(
    'Certificate',
    certificate === undefined
      ? []
      : [
          certificate.subject,
          certificate.selfSigned ? 'self-signed' : `issued by ${certificate.issuer}`,
          `${certificate.validFrom.slice(0, 10)} to ${certificate.validTo.slice(0, 10)}`,
          `SHA-256 ${certificate.fingerprint256}`,
        ],
  );
  add('Says by SSH', [ssh?.line]);
  for (const { what, first, later } of identity.changed ?? [])
    lines.push(`Changed while we looked: ${what} was ${first}, then ${later}`);
  return lines;
}

function linkLine({ link }: EndpointSighting): string | undefined {
  if (!isLink(link)) return undefined;
  const parts = [
    link.ifName ?? link.ifDescr ?? `ifIndex ${link.ifIndex}`,
    link.operStatus && `link ${link.operStatus}`,
    link.adminStatus && link.adminStatus !== link.operStatus ? `set ${link.adminStatus}` : undefined,
    link.speedMbps && formatSpeed(link.speedMbps),
    link.mtu && `MTU ${link.mtu}`,
    link.mac,
    link.wwn && `port name ${link.wwn}`,
  ];
  return `Port: ${parts.filter((part) => part !== undefined && part !== '' && part !== 0).join(', ')}`;
}

function mtuLine({ mtu }: EndpointSighting, skip: Skip): string | undefined {
  switch (mtu.outcome) {
    case 'not-run':
      return skip('path MTU', mtu.reason);
    case 'passes':
      return `Path MTU: ${mtu.mtu} passes`;
    case 'smaller':
      return `Path MTU: ${mtu.mtu} passes, ${mtu.asked} does not (${mtu.told === 'silent' ? 'larger ones are lost in silence' : mtu.told === 'router' ? 'a router told' : 'this laptop refused'})`;
    case 'no-reply':
      return `Path MTU: no reply at ${mtu.asked} nor below`;
  }
}

function iscsiLine({ iscsi }: EndpointSighting, skip: Skip): string | undefined {
  if (iscsi.outcome === 'not-run') return skip('iSCSI discovery', iscsi.reason);
  if (iscsi.outcome !== 'listed')
    return `iSCSI discovery: ${iscsi.outcome}${iscsi.detail === undefined ? '' : ` (${iscsi.detail})`}`;
  const targets = iscsi.targets.map(
    ({ name, portals }) =>
      `${name} at ${list(portals.map(({ address, port, tag }) => `${address}:${port}${tag === undefined ? '' : `,${tag}`}`))}`,
  );
  return `iSCSI discovery: ${targets.length === 0 ? 'no target listed' : targets.join('; ')}`;
}
