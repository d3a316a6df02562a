import http from 'node:http';
import type WebSocket from 'ws';

export interface RawAnswer {
  readonly status: number;
  readonly headers: http.IncomingHttpHeaders;
  readonly body: string;
}

/** A request to 127.0.0.1 by node:http, because fetch lets nobody set Host and tidies paths before it sends them. */
export function requestRaw(
  port: number,
  path: string,
  headers: http.OutgoingHttpHeaders = {},
  method = 'GET',
): Promise<RawAnswer> {
  return new Promise((resolve, reject) => {
    const request = http.request(
      { host: '127.0.0.1', port, path, method, headers, agent: false },
      (response) => {
        let body = '';
        response.setEncoding('utf8');
        response.on('data', (chunk: string) => (body += chunk));
        response.on('end', () => {
          resolve({ status: response.statusCode ?? 0, headers: response.headers, body });
        });
      },
    );
    request.on('error', reject);
    request.end();
  });
}

/** 'open', the status with which the handshake was refused, or what failed. */
export function handshakeOutcome(socket: WebSocket): Promise<string> {
  return new Promise((resolve) => {
    socket.on('open', () => {
      resolve('open');
      socket.terminate();
    });
    socket.on('unexpected-response', (_request, response) => {
      resolve(String(response.statusCode));
      socket.terminate();
    });
    socket.on('error', (error) => {
      resolve(error.message);
    });
  });
}
