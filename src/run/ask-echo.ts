/** Echo: one where it is answered, as many as it takes where it is not, and a measurement where some are lost. */
import type { IcmpSighting } from '../sighting/types.js';
import type { AskContext } from './ask-context.js';
import { FRAMES } from './pace.js';
import { LOSS_ECHOES } from './patience.js';
import type { Question } from './questions.js';
import type { SignOfLife } from './sign-of-life.js';
import { FEWEST } from './silence.js';
import { BESIDE } from './silent-looks.js';
import { isUnresolved, UNRESOLVED_AGAIN } from './unresolved.js';
import { releaseInSilence, slowness } from './within-share.js';

/** Between the echoes of one ping, in milliseconds: less is for root alone (ping(8), option -i). Windows takes longer. */
const ECHO_GAP_MS = 200;

/** `othersAsk`: how many tries the other first looks put to the same address. */
export async function askEcho(
  question: Question,
  life: SignOfLife,
  othersAsk: number,
  context: AskContext,
): Promise<IcmpSighting> {
  const { patiences, losses } = context;
  const needed = (): number => losses.needed(patiences.echo.attempts);
  let seen = await echo(question, 1, context, life.known());
  // Where nobody is known to be there, silence hangs on all that was asked together.
  const few = needed() - othersAsk - 1;
  if (seen.outcome === 'no-reply' && !life.known() && few > 0)
    seen = joined(seen, await echo(question, few, context));
  for (let again = 0; again < UNRESOLVED_AGAIN && isUnresolved(seen, life); again += 1) {
    if (context.signal.aborted) break;
    seen = await echo(question, FEWEST, context, true);
  }
  if (seen.outcome === 'replied') life.shown();
  life.looked();
  // Meanwhile more may have become known of the loss: then it is asked again.
  while (seen.outcome === 'no-reply' && (await life.there) && !context.signal.aborted) {
    const more = needed() - seen.sent;
    if (more <= 0) break;
    seen = joined(seen, await echo(question, more, context, true));
  }
  if (seen.outcome !== 'replied') return seen;
  losses.share(seen.sent, seen.received);
  if (seen.received === seen.sent || question.kind !== 'planned') return seen;
  const measured = await echo(question, LOSS_ECHOES, context);
  return measured.outcome === 'replied' ? measured : seen;
}

function echo(
  { address, device, services }: Question,
  attempts: number,
  context: AskContext,
  there = false,
): Promise<IcmpSighting> {
  const { probes, pacer, patiences, shares } = context;
  const { silent } = shares;
  const patience = attempts === 1 ? patiences.firstEcho : { ...patiences.echo, attempts };
  const needMs = (attempts - 1) * ECHO_GAP_MS + patience.timeoutMs;
  const alone = services.length === 0;
  const wanted = {
    needMs,
    there,
    again: attempts > 1,
    round: alone ? 0 : BESIDE,
    echoAlone: alone ? address : undefined,
  };
  return pacer.run(
    device,
    FRAMES.echo * attempts,
    async (release): Promise<IcmpSighting> => {
      const look = silent.begin(device, wanted, context.signal, slowness(context));
      if (look === undefined) return silent.usedUp(device);
      const given = releaseInSilence(device, release, patience.timeoutMs, context);
      const seen = await probes.icmp({ address }, patience, look.signal);
      given.end();
      if (seen.outcome === 'replied') look.answered();
      return look.end(seen.outcome === 'no-reply') ? silent.usedUp(device) : seen;
    },
    () => silent.isOpen(device, wanted, slowness(context)),
    silent.wish(device, wanted),
  );
}

function joined(before: IcmpSighting & { readonly outcome: 'no-reply' }, now: IcmpSighting): IcmpSighting {
  return now.outcome === 'no-reply' || now.outcome === 'replied'
    ? { ...now, sent: before.sent + now.sent }
    : now;
}
