import type { Message } from '../../shared/messages/message.ts';
import { toldOf } from '../../shared/messages/told-error.ts';
import type { Slice } from './slice.ts';

export interface Notice {
  id: number;
  told: Message;
}

export interface NoticeSlice {
  notices: Notice[];
  notify(told: Message): void;
  dismiss(id: number): void;
  dismissAll(): void;
  /** Shows what went wrong as one sentence; the cause goes to the console. */
  fail(error: unknown): void;
}

export const noticeSlice: Slice<NoticeSlice> = (set, get) => {
  let lastId = 0;
  return {
    notices: [],
    notify(told) {
      const same = JSON.stringify(told);
      const others = get().notices.filter((notice) => JSON.stringify(notice.told) !== same);
      set({ notices: [...others, { id: ++lastId, told }].slice(-3) });
    },
    dismiss: (id) => set({ notices: get().notices.filter((notice) => notice.id !== id) }),
    dismissAll: () => set({ notices: [] }),
    fail(error) {
      console.error(error);
      get().notify(toldOf(error));
    },
  };
};
