import { syncBuiltinESMExports } from 'node:module';
import { Socket } from 'node:net';
import nock from 'nock';
import { afterEach, describe, expect, it } from 'vitest';
import { probeRedfish, readServiceRoot } from '../../src/probe/redfish.js';
import type { Dial } from '../../src/probe/tcp-dial.js';
import { never, PATIENCE } from './loopback.js';

/** nock answers in place of the network; what stands in for the connection is never spoken through. */
const noDial: Dial = async () => ({ outcome: 'accepted', socket: new Socket(), connectMs: 0 });
const TARGET = { address: '192.0.2.10', port: 80 };
const ask = () => probeRedfish(TARGET, PATIENCE, never(), { scheme: 'http', dial: noDial });

afterEach(() => {
  nock.cleanAll();
  nock.restore();
  // Files share their modules (vitest.config.ts): those that come next have the real ones again.
  syncBuiltinESMExports();
});

/** Values of the DMTF mock-up public-rackmount1 (standards.md part 9); Product and Vendor are ours. */
const ROOT = {
  '@odata.type': '#ServiceRoot.v1_20_0.ServiceRoot',
  '@odata.id': '/redfish/v1/',
  Id: 'RootService',
  Name: 'Root Service',
  RedfishVersion: '1.15.0',
  UUID: '92384634-2938-2342-8820-489239905423',
  Links: {},
};

function root(reply: unknown, status = 200) {
  nock.restore();
  nock.activate();
  syncBuiltinESMExports();
  return nock('http://192.0.2.10').get('/redfish/v1/').reply(status, JSON.stringify(reply));
}

describe('probeRedfish', () => {
  it('asks for the service root without login and keeps who it is', async () => {
    let headers: Record<string, unknown> = {};
    root({ ...ROOT, Product: 'Vault', Vendor: 'Loft' }).on('request', (request) => {
      headers = request.headers;
    });
    expect(await ask()).toEqual({
      outcome: 'found',
      identity: {
        uuid: '92384634-2938-2342-8820-489239905423',
        product: 'Vault',
        vendor: 'Loft',
        redfishVersion: '1.15.0',
      },
    });
    expect(Object.keys(headers).sort()).toEqual(['accept', 'connection', 'host', 'user-agent']);
  });

  it.each([
    ['a device that wants a login', ROOT, 401],
    ['a device without Redfish', { hello: 'world' }, 200],
    ['a list', [ROOT], 200],
  ])('%s has no service root', async (_, reply, status) => {
    root(reply, status);
    expect(await ask()).toMatchObject({ outcome: 'none' });
  });
});

// ServiceRoot.v1_20_0.json: UUID, Product, Vendor and RedfishVersion are optional.
describe('readServiceRoot', () => {
  it('asks for no more than the schema does', () => {
    const { RedfishVersion: _, UUID: __, ...bare } = ROOT;
    expect(readServiceRoot(JSON.stringify(bare))).toEqual({});
  });

  it('drops a UUID that is none, and cleans text', () => {
    const text = JSON.stringify({ ...ROOT, UUID: 'not-a-uuid', Product: 'a\u001b[31m', Vendor: 7 });
    expect(readServiceRoot(text)).toEqual({ product: 'a\\u001b[31m', redfishVersion: '1.15.0' });
  });

  it.each(['', '{', 'null', '[]', '7', '{"@odata.type":7}'])('%j is none', (text) => {
    expect(readServiceRoot(text)).toBeUndefined();
  });
});
