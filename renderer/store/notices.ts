import type { Slice } from './slice.ts';

export interface Notice {
  id: number;
  text: string;
}

export interface NoticeSlice {
  notices: Notice[];
  notify(text: string): void;
  dismiss(id: number): void;
  dismissAll(): void;
  /** Shows what went wrong as one sentence; the cause goes to the console. */
  fail(error: unknown): void;
}

export const noticeSlice: Slice<NoticeSlice> = (set, get) => {
  let lastId = 0;
  return {
    notices: [],
    notify(text) {
      const others = get().notices.filter((notice) => notice.text !== text);
      set({ notices: [...others, { id: ++lastId, text }].slice(-3) });
    },
    dismiss: (id) => set({ notices: get().notices.filter((notice) => notice.id !== id) }),
    dismissAll: () => set({ notices: [] }),
    fail(error) {
      console.error(error);
      get().notify(error instanceof Error ? error.message : String(error));
    },
  };
};
