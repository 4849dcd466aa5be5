/**
 * Many first echoes from one program. Starting a ping for each costs more than all else that is asked of an address; Perl, which Debian and
 * its kin always have, sends and hears all of them over one socket where this user may open it (as root, or by net.ipv4.ping_group_range).
 */
import { spawn } from 'node:child_process';
import { type BatchedEcho, type BatchProgram, batchProcess, byLines } from './batch.js';

/**
 * Reads an IPv4 address a line; writes `ADDRESS MILLISECONDS` for a reply (RFC 792), `ADDRESS -` where none came in time, and `ADDRESS ?` for
 * whatever only a ping with its lines can tell. Ends at once where it may not, and with its input.
 */
const SCRIPT = String.raw`
use strict; use Socket; use Time::HiRes 'time';
my $wait = shift; my $id = $$ & 0xffff; my $raw = 1; my $s;
socket($s, PF_INET, SOCK_RAW, 1) or do { $raw = 0; socket($s, PF_INET, SOCK_DGRAM, 1) or exit 1 };
setsockopt($s, SOL_SOCKET, SO_RCVBUF, 1 << 20);
setsockopt($s, 255, 1, pack('L', 0xffffffff & ~(1 | 1 << 3 | 1 << 11))) if $raw;
my (%open, @order); my ($in, $seq, $out) = ('', 0, '');
sub told { my ($n, $what) = @_; my $one = delete $open{$n} or return; $out .= "$one->[0] $what\n" }
sub hear {
  while (defined(my $from = recv($s, my $p, 2048, MSG_DONTWAIT))) {
    my $at = time;
    my $address = inet_ntoa((unpack_sockaddr_in($from))[1]);
    $p = substr($p, (ord($p) & 15) * 4) if $raw;
    next if length $p < 8;
    my ($type, $code, $sum, $i, $n) = unpack 'C2n3', $p;
    if ($type) {
      my $inner = substr $p, 8; next if length $inner < 28;
      my ($t, $c, $m);
      ($t, $c, $m, $i, $n) = unpack 'C2n3', substr($inner, (ord($inner) & 15) * 4);
      told($n, '?') if $t == 8 && $i == $id;
      next;
    }
    next if $raw && $i != $id;
    my $one = $open{$n} or next;
    told($n, $one->[0] eq $address ? sprintf('%.3f', 1000 * ($at - $one->[1])) : '?');
  }
}
for (;;) {
  my $r = ''; vec($r, 0, 1) = 1; vec($r, fileno $s, 1) = 1;
  shift @order while @order && !$open{$order[0]};
  my $left = @order ? $open{$order[0]}[1] + $wait - time : undef;
  select $r, undef, undef, defined $left && $left < 0 ? 0 : $left;
  hear();
  if (vec $r, 0, 1) {
    sysread(STDIN, $in, 65536, length $in) or exit 0;
    while ($in =~ s/^([^\n]*)\n//) {
      my $address = $1; my $to = inet_aton $address;
      $seq = $seq + 1 & 0xffff; told($seq, '?');
      my $head = pack 'C2n3', 8, 0, 0, $id, $seq; my $body = "\0" x 56;
      my $sum = unpack '%32n*', $head . $body; $sum = ($sum >> 16) + ($sum & 0xffff); $sum += $sum >> 16;
      substr($head, 2, 2) = pack 'n', ~$sum & 0xffff;
      $open{$seq} = [$address, time]; push @order, $seq;
      defined $to && send($s, $head . $body, 0, pack_sockaddr_in(0, $to)) or told($seq, '?');
      hear();
    }
  }
  my $now = time;
  told($order[0], '-'), shift @order while @order && (!$open{$order[0]} || $open{$order[0]}[1] + $wait <= $now);
  syswrite STDOUT, $out if length $out; $out = '';
}`;

/** Nothing of the user's own Perl comes in. */
export const PLAIN_PERL = { LC_ALL: 'C', PERL5OPT: undefined, PERL5LIB: undefined, PERL_UNICODE: undefined };

export const echoSender: BatchProgram<BatchedEcho> = {
  start: (waitSeconds) => {
    const child = spawn('perl', ['-e', SCRIPT, String(waitSeconds)], {
      stdio: ['pipe', 'pipe', 'ignore'],
      env: { ...process.env, ...PLAIN_PERL },
    });
    return batchProcess(child);
  },
  reader: lineReader,
};

export function lineReader(settle: (address: string, echo: BatchedEcho) => void): (text: string) => void {
  return byLines((line) => {
    const [, address, told] = /^([\d.]+) (\?|-|\d+\.\d{3})$/.exec(line) ?? [];
    if (address === undefined || told === undefined) return;
    if (told === '-') settle(address, 'silent');
    else settle(address, told === '?' ? 'unknown' : { rttMs: Number(told) });
  });
}
