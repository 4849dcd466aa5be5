/** A management web page over HTTP or HTTPS, and the Redfish service root (DSP0266: readable without a login). */
import http, { type RequestListener } from 'node:http';
import https from 'node:https';
import { makeCertificate } from './certificate.js';
import { type Listening, listen, type Place } from './listening.js';

export interface WebPage {
  readonly title: string;
  /** Answers at /redfish/v1/ where given. */
  readonly redfish?: { readonly uuid: string; readonly product: string } | undefined;
}

export function serveHttp(place: Place, page: WebPage): Promise<Listening> {
  return listen(http.createServer(answering(page)), place);
}

/** `name` is the common name of a certificate made for this start. */
export function serveHttps(place: Place, page: WebPage, name: string): Promise<Listening> {
  return listen(https.createServer(makeCertificate(name), answering(page)), place);
}

function answering({ title, redfish }: WebPage): RequestListener {
  return (request, response) => {
    response.setHeader('Server', 'harbour-demo');
    response.setHeader('Connection', 'close');
    if (request.url?.startsWith('/redfish')) {
      if (redfish === undefined) {
        response.writeHead(404).end();
        return;
      }
      response.setHeader('Content-Type', 'application/json');
      response.end(
        JSON.stringify({
          '@odata.id': '/redfish/v1/',
          '@odata.type': '#ServiceRoot.v1_5_0.ServiceRoot',
          Id: 'RootService',
          Name: title,
          RedfishVersion: '1.6.0',
          UUID: redfish.uuid,
          Product: redfish.product,
          Vendor: 'Harbour Example',
        }),
      );
      return;
    }
    response.setHeader('Content-Type', 'text/html; charset=utf-8');
    response.end(`<!doctype html><html lang="en"><title>${title}</title><h1>${title}</h1></html>`);
  };
}
