import { extname } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { FastifyInstance } from 'fastify';
import { pathOf } from './origin-guard.ts';

/**
 * Serves the built page. A path without an extension is a place inside the page (/bench, /logbook/...), so it gets
 * index.html; a file that does not exist is a plain 404.
 */
export async function serveRenderer(server: FastifyInstance, rendererFolder: string): Promise<void> {
  await server.register(fastifyStatic, {
    root: rendererFolder,
    dotfiles: 'deny',
    cacheControl: false,
    setHeaders(reply, path) {
      // Built files carry a hash of their content in their names; index.html does not.
      const isHashed = path.includes('/assets/') || path.includes('\\assets\\');
      reply.header('Cache-Control', isHashed ? 'private, max-age=31536000, immutable' : 'no-cache');
    },
  });
  server.setNotFoundHandler((request, reply) => {
    const isRead = request.method === 'GET' || request.method === 'HEAD';
    if (isRead && extname(pathOf(request.url)) === '') return reply.sendFile('index.html');
    return reply.code(404).type('text/plain').send('There is no such file.\n');
  });
}
