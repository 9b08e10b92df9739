/** The part of the Emscripten module of @echogarden/pffft-wasm that fft-single.ts uses. */
declare module '@echogarden/pffft-wasm/simd' {
  export interface Pffft {
    /** Replaced by the module whenever its memory grows. */
    HEAPF32: Float32Array;
    _pffft_new_setup(size: number, kind: 0 | 1): number;
    _pffft_destroy_setup(setup: number): void;
    _pffft_aligned_malloc(bytes: number): number;
    _pffft_aligned_free(pointer: number): void;
    _pffft_transform_ordered(
      setup: number,
      input: number,
      output: number,
      work: number,
      direction: 0 | 1,
    ): void;
  }
  export default function createPffft(options: {
    wasmBinary: Uint8Array;
    locateFile: (name: string) => string;
  }): Promise<Pffft>;
}
