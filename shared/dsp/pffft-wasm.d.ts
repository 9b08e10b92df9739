/** The part of the Emscripten module of @echogarden/pffft-wasm that fft-single.ts uses. */
declare module '@echogarden/pffft-wasm/simd' {
  export interface Pffft {
    /** Replaced by the module whenever its memory grows. */
    HEAPF32: Float32Array;
    _pffft_new_setup(size: number, kind: 0 | 1): number;
    _pffft_destroy_setup(setup: number): void;
    _pffft_aligned_malloc(bytes: number): number;
    _pffft_aligned_free(pointer: number): void;
    /** Bins in an order of its own: quicker, and what `_pffft_zconvolve_accumulate` takes. */
    _pffft_transform(setup: number, input: number, output: number, work: number, direction: 0 | 1): void;
    /** product += a · b · scale, bin by bin. */
    _pffft_zconvolve_accumulate(setup: number, a: number, b: number, product: number, scale: number): void;
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
