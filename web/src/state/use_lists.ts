// The choices that blanks offer; asked for once.
import { useEffect, useState } from 'preact/hooks';
import { api } from '../api';
import type { Lists } from '../types';

let asked: Promise<Lists> | null = null;

export function useLists(): Lists | null {
  const [lists, setLists] = useState<Lists | null>(null);
  useEffect(() => {
    asked ??= api.lists();
    asked.then(setLists, () => {
      asked = null;
    });
  }, []);
  return lists;
}
