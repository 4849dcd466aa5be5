/** What a TLS handshake that failed says of the other side: an alert proves that TLS is spoken there. */
import type { Cause } from '../sighting/types.js';
import { closeCause, errorCode } from './refusal.js';

export interface TlsFailure {
  /** tls: TLS is spoken there, though not with us. other-protocol: something else is. closed: it hung up. */
  readonly outcome: 'tls' | 'other-protocol' | 'closed';
  readonly cause: Cause;
  readonly detail: string;
  /** Number of the alert, where one came. */
  readonly alert?: number | undefined;
}

/** AlertDescription as RFC 8446 §6 names them; those in use before version 1.3 from RFC 5246 §7.2. */
const ALERTS: Readonly<Record<number, string>> = {
  0: 'close_notify',
  10: 'unexpected_message',
  20: 'bad_record_mac',
  22: 'record_overflow',
  40: 'handshake_failure',
  41: 'no_certificate',
  42: 'bad_certificate',
  43: 'unsupported_certificate',
  44: 'certificate_revoked',
  45: 'certificate_expired',
  46: 'certificate_unknown',
  47: 'illegal_parameter',
  48: 'unknown_ca',
  49: 'access_denied',
  50: 'decode_error',
  51: 'decrypt_error',
  70: 'protocol_version',
  71: 'insufficient_security',
  80: 'internal_error',
  86: 'inappropriate_fallback',
  90: 'user_canceled',
  100: 'no_renegotiation',
  109: 'missing_extension',
  110: 'unsupported_extension',
  112: 'unrecognized_name',
  113: 'bad_certificate_status_response',
  115: 'unknown_psk_identity',
  116: 'certificate_required',
  120: 'no_application_protocol',
};

/** Alerts by which a server says that a certificate of ours is what it lacks: another try would bring the same. */
const ABOUT_OUR_CERTIFICATE: ReadonlySet<number> = new Set([41, 42, 43, 44, 45, 46, 48, 49, 116]);

/** OpenSSL numbers the reasons "an alert came" from here on (SSL_AD_REASON_OFFSET); the low 23 bits of an error are its reason. */
const ALERT_REASONS = 1000;
const REASON_BITS = 0x7fffff;

/** What OpenSSL says where the first octets are no TLS record. */
const NOT_TLS =
  /WRONG_VERSION_NUMBER|HTTP_REQUEST|HTTPS_PROXY_REQUEST|PACKET_LENGTH|UNEXPECTED_MESSAGE|BAD_RECORD|RECORD_LAYER|NOT_SSL|BAD_PACKET|RECORD_TOO_SMALL|UNEXPECTED_RECORD|INVALID_ALERT/;

/** A valid answer of a TLS server that this laptop's library will not go on with: too old, too weak, or not what was offered. */
const NOT_AGREED =
  /UNSUPPORTED_PROTOCOL|NO_PROTOCOLS_AVAILABLE|VERSION_TOO_LOW|KEY_TOO_SMALL|BAD_DH_VALUE|DH_P|EE_KEY|CA_KEY|CA_MD|WRONG_CIPHER|UNKNOWN_CIPHER|UNSAFE_LEGACY|WRONG_SIGNATURE|WRONG_CURVE|BAD_ECPOINT|NO_SUITABLE|UNSUPPORTED_ELLIPTIC/;

export function tlsFailureOf(error: unknown): TlsFailure {
  const code = errorCode(error);
  const alert = alertOf(error);
  if (alert !== undefined) {
    const name = ALERTS[alert] ?? `alert ${alert}`;
    return { outcome: 'tls', cause: 'tls-alert', detail: `TLS is spoken; its alert: ${name}`, alert };
  }
  if (NOT_TLS.test(code)) {
    return {
      outcome: 'other-protocol',
      cause: 'other-protocol',
      detail: 'something else than TLS speaks there',
    };
  }
  if (NOT_AGREED.test(code)) {
    const detail = `TLS is spoken, but this laptop cannot agree with it (${code})`;
    return { outcome: 'tls', cause: 'tls-failed', detail };
  }
  if (code === 'ECONNRESET' || code === 'EPIPE') return { ...CLOSED, cause: closeCause(error) };
  return {
    outcome: 'other-protocol',
    cause: 'tls-failed',
    detail: `no common TLS (${code || 'handshake failed'})`,
  };
}

export const CLOSED: TlsFailure = {
  outcome: 'closed',
  cause: 'closed-without-answer',
  detail: 'closed during the TLS handshake',
};

/** Another version, or a name, may be all that was missing. */
export function worthAnotherTry({ outcome, alert }: TlsFailure): boolean {
  return outcome !== 'other-protocol' && (alert === undefined || !ABOUT_OUR_CERTIFICATE.has(alert));
}

/** By number: OpenSSL's words for alerts have changed between its versions. Node puts the number of the error into its message. */
function alertOf(error: unknown): number | undefined {
  if (!(error instanceof Error)) return undefined;
  const packed = /:error:([0-9A-Fa-f]{8}):/.exec(error.message)?.[1];
  if (packed === undefined) return undefined;
  const reason = Number.parseInt(packed, 16) & REASON_BITS;
  return reason >= ALERT_REASONS && reason < ALERT_REASONS + 256 ? reason - ALERT_REASONS : undefined;
}
