/** What one HTTP answer says of a device. */
import type { HttpIdentity } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import type { HttpReply } from './http-question.js';
import { titleOf } from './http-title.js';

/** Status, Server and clock are those of the first answer; the title may be of the page it led to. */
export function httpIdentity(port: number, first: HttpReply, last: HttpReply): HttpIdentity {
  const title = titleOf(last.body, last.headers['content-type']);
  const server = oneLine(first.headers.server ?? last.headers.server);
  const location = locationOf(first);
  const clockAheadSeconds = clockAhead(first.headers.date, first.receivedAtMs);
  return {
    port,
    status: first.status,
    ...(title === undefined ? {} : { title }),
    ...(server === undefined ? {} : { server: cleanText(server) }),
    ...(location === undefined ? {} : { location: cleanText(location) }),
    ...(clockAheadSeconds === undefined ? {} : { clockAheadSeconds }),
  };
}

export function locationOf(reply: HttpReply): string | undefined {
  return reply.status >= 300 && reply.status < 400 ? reply.headers.location : undefined;
}

/** Dates of RFC 9110 §5.6.7 begin with the name of a day, and all of them are UTC, whether they say so or not. */
const HTTP_DATE = /^[A-Z][a-z]{2,8},? .{1,32}$/;

/** Seconds that the Date header (RFC 9110 §6.6.1) is ahead of `nowMs`; undefined where there is none that can be read. */
export function clockAhead(date: string | undefined, nowMs: number): number | undefined {
  if (date === undefined || !HTTP_DATE.test(date)) return undefined;
  const atMs = Date.parse(/ (?:GMT|UTC)$/.test(date) ? date : `${date} GMT`);
  return Number.isNaN(atMs) ? undefined : Math.round((atMs - nowMs) / 1000);
}

/** A header that came twice is one text. */
function oneLine(value: string | string[] | undefined): string | undefined {
  return typeof value === 'string' ? value : value?.join(', ');
}
