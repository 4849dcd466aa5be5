/** Listening on the laptop's own ports for as long as a run takes: who claims what, and which switch port is at the other end of the cable. */
import type { Clock } from '../probe/types.js';
import type { LldpNeighbour, Vantage } from '../sighting/types.js';
import type { CaptureProgram, System } from '../system/types.js';
import { type AddressStatement, statementsOf } from '../wire/arp-claims.js';
import { decodeLinkFrame, ETHERTYPE } from '../wire/ethernet.js';
import type { CaptureFrame } from '../wire/pcap-frame.js';
import { type Capture, type KeptCapture, openCapture } from './capture.js';
import { createNeighbourList } from './neighbour-book.js';

/** One statement of a frame about an address, with where and when it was heard. */
export interface Heard extends AddressStatement {
  readonly interface: string;
  /** Milliseconds of the run's clock. */
  readonly atMs: number;
  /** The frame went to everybody (or, in IPv6, to the group of the address): a question that all claimants get. */
  readonly toAll: boolean;
  readonly frameDestination?: string | undefined;
}

export interface Listener {
  /** Ports that are really listened on now. */
  interfaces(): readonly string[];
  /** Ports whose capture has not begun yet. */
  opening?(): readonly string[];
  subscribe(onHeard: (heard: Heard) => void): () => void;
  /** LLDP neighbours of the laptop's own ports heard so far. */
  neighbours(): readonly LldpNeighbour[];
  /** Captures that could not begin or ended early. */
  notes(): readonly string[];
  stop(): Promise<void>;
}

export interface ListenDeps {
  readonly system: Pick<System, 'programs' | 'captureDevice'>;
  readonly clock: Pick<Clock, 'now'>;
  /** Does not wait until the captures have begun. */
  readonly atOnce?: boolean | undefined;
  /** A capture that is under way already: its port needs no other. */
  readonly kept?: KeptCapture | undefined;
}

/** Frames kept waiting for a reader; more than that in one run is a storm. */
const SUBSCRIBER_FRAMES = 1_000_000;

/** Listens on these ports by the program the abilities name. Without one: a listener that hears nothing. Never rejects. */
export async function listen(
  vantage: Pick<Vantage, 'abilities' | 'interfaces'>,
  ports: readonly string[],
  deps: ListenDeps,
  signal: AbortSignal,
): Promise<Listener> {
  const ability = vantage.abilities.capture;
  const program = ability.able ? ability.program : undefined;
  const subscribers = new Set<(heard: Heard) => void>();
  const book = createNeighbourList(new Set(vantage.interfaces.map((each) => each.mac)));
  const running = new Map<string, Capture>();
  const notes: string[] = [];
  let left = SUBSCRIBER_FRAMES;

  const onFrame = (port: string, frame: CaptureFrame): void => {
    const link = decodeLinkFrame(frame.bytes, frame.linkType);
    if (!link.ok || left <= 0) return;
    left -= 1;
    if (left === 0)
      notes.push(`More than ${SUBSCRIBER_FRAMES} frames came: a storm. What came after them was not read.`);
    if (link.value.etherType === ETHERTYPE.lldp) book.add(port, link.value);
    const { destination } = link.value;
    const toAll = destination === undefined || /^(ff:ff:ff:ff:ff:ff|33:33:)/.test(destination);
    for (const statement of statementsOf(frame, link)) {
      const heard = {
        ...statement,
        interface: port,
        atMs: deps.clock.now(),
        toAll,
        frameDestination: destination,
      };
      for (const subscriber of subscribers) subscriber(heard);
    }
  };

  const begun = new Set<string>();
  let over = false;
  const open = async (port: string, by: CaptureProgram): Promise<void> => {
    begun.add(port);
    const opened = await openCapture(deps, by, port, (frame) => onFrame(port, frame));
    begun.delete(port);
    if (opened.ok) follow(port, opened.capture);
    else notes.push(`No capture on ${port}: ${opened.reason}.`);
  };
  const follow = (port: string, capture: Capture): void => {
    running.set(port, capture);
    if (over || signal.aborted) capture.stop();
    void capture.ended.then((reason) => {
      running.delete(port);
      if (reason !== undefined) notes.push(`The capture on ${port} ended early: ${reason}.`);
    });
  };
  const takeOver = (kept: KeptCapture): void => {
    kept.frames = (frame) => onFrame(kept.port, frame);
    follow(kept.port, kept.capture);
  };

  const opening =
    program === undefined || signal.aborted
      ? Promise.resolve([])
      : Promise.all(
          [...new Set(ports)]
            .slice(0, PORT_LIMIT)
            .map((port) =>
              deps.kept?.port === port && deps.kept.program === program
                ? takeOver(deps.kept)
                : open(port, program),
            ),
        );
  // Where the system can be made to ask again, the first question does not wait for the capture: a later one is heard.
  if (deps.atOnce !== true) await opening;

  const stop = async (): Promise<void> => {
    over = true;
    signal.removeEventListener('abort', stopNow);
    await opening;
    const captures = [...running.values()];
    for (const capture of captures) capture.stop();
    await Promise.all(captures.map((capture) => capture.ended));
  };
  const stopNow = (): void => {
    for (const capture of running.values()) capture.stop();
  };
  signal.addEventListener('abort', stopNow, { once: true });
  if (signal.aborted) stopNow();

  return {
    interfaces: () => [...running.keys()],
    opening: () => [...begun],
    subscribe: (onHeard) => {
      subscribers.add(onHeard);
      return () => subscribers.delete(onHeard);
    },
    neighbours: () => book.list(),
    notes: () => [...notes],
    stop,
  };
}

/** One process a port; a laptop with more cabled ports than this is no laptop. */
const PORT_LIMIT = 8;
