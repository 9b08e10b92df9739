#!/usr/bin/env node
/**
 * Stands in for a browser in the tests of `npm start`: does what the page does first, writes down what it was
 * given and what it got, and stays open until it is told to close, or ends by itself.
 */
import { renameSync, writeFileSync } from 'node:fs';
import { WebSocket } from 'ws';

const url = new URL(process.argv.find((argument) => argument.startsWith('--app='))!.slice('--app='.length));
const page = await fetch(url);
const bus = new WebSocket(`ws://${url.host}/bus`, { origin: url.origin });
bus.on('open', () => {
  bus.send(JSON.stringify({ token: new URLSearchParams(url.hash.slice(1)).get('token') }));
  bus.send(JSON.stringify({ id: 1, name: 'live.state', input: null }));
});
bus.on('message', (data) => {
  const { id, reply } = JSON.parse(String(data));
  if (id !== 1) return;
  // Whoever waits for the report finds it whole.
  const report = process.env.STAND_IN_REPORT!;
  writeFileSync(
    `${report}.unfinished`,
    JSON.stringify({ arguments: process.argv.slice(2), status: page.status, reply }),
  );
  renameSync(`${report}.unfinished`, report);
  if (process.env.STAND_IN_CLOSES) process.exit(0);
});
