/** A certificate for the demo's web pages, made at start so that no key is kept. A file of its own, since the library is slow to load. */
import { generate } from 'selfsigned';

const DAY_MS = 86_400_000;

/** `name` becomes the common name. PEM. */
export async function makeCertificate(
  name: string,
): Promise<{ readonly key: string; readonly cert: string }> {
  const { private: key, cert } = await generate([{ name: 'commonName', value: name }], {
    keyType: 'ec',
    algorithm: 'sha256',
    notBeforeDate: new Date(Date.now() - DAY_MS),
    notAfterDate: new Date(Date.now() + 90 * DAY_MS),
    extensions: [{ name: 'subjectAltName', altNames: [{ type: 2, value: name }] }],
  });
  return { key, cert };
}
