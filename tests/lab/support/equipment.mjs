// One pretended management processor or array port: real HTTP(S), SSH-line and plain TCP servers on this host's addresses.
// Usage: node equipment.mjs '{"web":[{"port":443,"tls":{"key":"","cert":""},"title":"","server":"","pages":{"/x":"json"}}],
//        "lines":[{"port":22,"line":"SSH-2.0-x"}],"open":[3260]}'   Prints "ready" when all listen.
import { readFileSync } from 'node:fs';
import http from 'node:http';
import https from 'node:https';
import net from 'node:net';

const wanted = JSON.parse(process.argv[2] ?? '{}');
const listening = [];

function listen(server, port, address) {
  listening.push(
    new Promise((resolve, reject) => {
      server.once('error', reject);
      server.listen(port, address, resolve);
    }),
  );
}

for (const web of wanted.web ?? []) {
  const answer = (request, response) => {
    // What was asked, for tests of what the program sends: `asked GET / accept,host`.
    process.stdout.write(`asked ${request.method} ${request.url} ${Object.keys(request.headers).sort()}\n`);
    const page = web.pages?.[request.url ?? '/'];
    if (web.server) response.setHeader('Server', web.server);
    if (page !== undefined) {
      response.setHeader('Content-Type', 'application/json');
      response.end(page);
    } else if (request.url === '/') {
      response.setHeader('Content-Type', 'text/html; charset=utf-8');
      response.end(
        `<!doctype html><title>${(web.title ?? 'equipment').padEnd(web.titleLength ?? 0, 'A')}</title><h1>log in</h1>`,
      );
    } else {
      response.statusCode = 404;
      response.end('no such page');
    }
  };
  const server = web.tls
    ? https.createServer({ key: readFileSync(web.tls.key), cert: readFileSync(web.tls.cert) }, answer)
    : http.createServer(answer);
  listen(server, web.port, web.address);
}
for (const { port, line, address } of wanted.lines ?? []) {
  listen(
    net.createServer((socket) => {
      socket.on('error', () => {});
      socket.write(`${line}\r\n`);
    }),
    port,
    address,
  );
}
for (const port of wanted.open ?? []) {
  listen(
    net.createServer((socket) => socket.on('error', () => {})),
    port,
  );
}
await Promise.all(listening);
process.stdout.write('ready\n');
