/**
 * Many first connections from one program, for ports of which the connection is all that is asked. Perl can tell Linux what Node cannot: not
 * to acknowledge at once what is closed at once (TCP_QUICKACK, tcp(7)), so that a connection takes two frames instead of three, and what
 * listens there never has to take it.
 */
import { spawn } from 'node:child_process';
import { type BatchedConnection, type BatchProgram, batchProcess, byLines } from './batch.js';
import { PLAIN_PERL } from './echo-sender.js';

/**
 * Reads an IPv4 address and a port a line; writes them with the milliseconds that it took to be accepted, with `!` where it was refused,
 * `-` where nothing came in time, and `?` for all that only a connection of our own can tell. Each is closed at once by a reset
 * (RFC 9293 §3.10.5). Ends with its input.
 */
const SCRIPT = String.raw`
use strict; use Errno; use Socket qw(:DEFAULT IPPROTO_TCP SOCK_NONBLOCK TCP_QUICKACK); use Time::HiRes 'time';
my $wait = shift; my (%open, @order); my ($in, $out) = ('', '');
sub told { my ($one, $what) = @_; delete $open{fileno $one->[1]}; close $one->[1]; $one->[3] = 1; $out .= "$one->[0] $what\n" }
for (;;) {
  my ($r, $w) = ('', ''); vec($r, 0, 1) = 1; vec($w, $_, 1) = 1 for keys %open;
  shift @order while @order && $order[0][3];
  my $left = @order ? $order[0][2] + $wait - time : undef;
  select $r, $w, undef, defined $left && $left < 0 ? 0 : $left;
  my $now = time;
  for my $n (keys %open) {
    next unless vec $w, $n, 1;
    my $one = $open{$n}; $! = my $error = unpack 'i', getsockopt($one->[1], SOL_SOCKET, SO_ERROR);
    told($one, $error ? $!{ECONNREFUSED} ? '!' : '?' : sprintf('%.3f', 1000 * ($now - $one->[2])));
  }
  if (vec $r, 0, 1) {
    sysread(STDIN, $in, 65536, length $in) or exit 0;
    while ($in =~ s/^([^\n]*)\n//) {
      my $key = $1; my ($address, $port) = split / /, $key; my $to = inet_aton $address;
      my $s;
      if (!defined $to || !socket($s, PF_INET, SOCK_STREAM | SOCK_NONBLOCK, 0)) { $out .= "$key ?\n"; next }
      setsockopt($s, IPPROTO_TCP, TCP_QUICKACK, 0);
      setsockopt($s, SOL_SOCKET, SO_LINGER, pack('ii', 1, 0));
      my $one = $open{fileno $s} = [$key, $s, time]; push @order, $one;
      connect($s, pack_sockaddr_in($port, $to)) or $!{EINPROGRESS} or told($one, $!{ECONNREFUSED} ? '!' : '?');
    }
  }
  while (@order && ($order[0][3] || $order[0][2] + $wait <= $now)) { my $one = shift @order; told($one, '-') unless $one->[3] }
  syswrite STDOUT, $out if length $out; $out = '';
}`;

export const connectSender: BatchProgram<BatchedConnection> = {
  start: (waitSeconds) => {
    const child = spawn('perl', ['-e', SCRIPT, String(waitSeconds)], {
      stdio: ['pipe', 'pipe', 'ignore'],
      env: { ...process.env, ...PLAIN_PERL },
    });
    return batchProcess(child);
  },
  reader: (settle) =>
    byLines((text) => {
      const [, line, told] = /^([\d.]+ \d+) ([!?-]|\d+\.\d{3})$/.exec(text) ?? [];
      if (line === undefined || told === undefined) return;
      settle(line, TOLD[told] ?? { rttMs: Number(told) });
    }),
};

const TOLD: Readonly<Record<string, BatchedConnection>> = { '!': 'refused', '?': 'unknown', '-': 'silent' };
