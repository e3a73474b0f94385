import { describe, expect, it, vi } from 'vitest';
import { Problem } from './api';
import { absence, Blanks, rawValue, stepped } from './blanks.svelte';
import type { Blank, BlankKind } from './interface';
import type { Json } from './json';

const blank = (kind: BlankKind, value: Json, more: Partial<Blank> = {}): Blank => ({
  path: '/need/load',
  text: '',
  label: '',
  kind,
  options: null,
  value,
  optional: false,
  assumed: false,
  help: '',
  example: '',
  ...more,
});

describe('rawValue', () => {
  it('sends quantities as they are typed and numbers as numbers', () => {
    expect(rawValue(blank('load', null), ' 2,5 kg ')).toBe('2,5 kg');
    expect(rawValue(blank('count', null), '200')).toBe(200);
    expect(rawValue(blank('factor', null), '1,5')).toBe(1.5);
    expect(rawValue(blank('count', null), 'many')).toBe('many');
    expect(rawValue(blank('words', null), 'N42, ferrite;')).toEqual(['N42', 'ferrite']);
  });
  it('clears an optional blank that is emptied', () => {
    expect(rawValue(blank('length', null, { optional: true }), ' ')).toBeNull();
    expect(rawValue(blank('length', null), '')).toBe('');
  });
});

it('knows how each kind is left out', () => {
  expect(absence(blank('length', '1 mm', { optional: true }))).toBeNull();
  expect(absence(blank('choices', ['disc']))).toEqual([]);
  expect(absence(blank('switch', true))).toBe(false);
  expect(absence(blank('load', '2 kg'))).toBeUndefined();
});

it('steps counts and factors', () => {
  expect(stepped(blank('count', 1), '1', -1)).toBe('1');
  expect(stepped(blank('count', 1), '199', 1)).toBe('200');
  expect(stepped(blank('factor', 1), '1.5', 1)).toBe('1.6');
  expect(stepped(blank('factor', 1), '0.1', -3)).toBe('0');
});

describe('filling a blank', () => {
  const refuse = (field: string) =>
    new Problem({ title: '', status: 422, detail: 'no', field, span: [2, 4], hint: null });

  it('closes when the server agrees', async () => {
    const attempt = vi.fn(async () => true);
    const blanks = new Blanks(attempt, () => undefined);
    blanks.begin(blank('load', '2 kg'));
    await blanks.change('3 kg');
    expect(attempt).toHaveBeenLastCalledWith('/need/load', '3 kg', false);
    expect(await blanks.commit()).toBe(true);
    expect(attempt).toHaveBeenLastCalledWith('/need/load', '3 kg', true);
    expect(blanks.open).toBeNull();
  });
  it('stays open with the reason when it does not', async () => {
    const blanks = new Blanks(
      async () => Promise.reject(refuse('/need/load')),
      () => undefined,
    );
    blanks.begin(blank('load', '2 kg'));
    expect(await blanks.commit('2 kx')).toBe(false);
    expect(blanks.open).not.toBeNull();
    expect(blanks.problem?.detail).toBe('no');
    expect(blanks.judged).toBe('2 kx');
  });
  it('finds the text inside a list that the problem is about', async () => {
    const blanks = new Blanks(
      async () => Promise.reject(refuse('/need/layers/0/thickness')),
      () => undefined,
    );
    blanks.begin(blank('layers', [], { path: '/need/layers' }));
    await blanks.commit([{ material: 'paint', thickness: '1 mx' }]);
    expect(blanks.judged).toBe('1 mx');
  });
  it('goes back when it is left as it was, and asks nothing when nothing changed', async () => {
    const attempt = vi.fn(async () => true);
    const undo = vi.fn();
    const blanks = new Blanks(attempt, undo);
    blanks.begin(blank('load', '2 kg'));
    blanks.cancel();
    blanks.begin(blank('load', '2 kg'));
    expect(await blanks.commit()).toBe(true);
    expect(undo).toHaveBeenCalledTimes(2);
    expect(attempt).not.toHaveBeenCalled();
  });
});
