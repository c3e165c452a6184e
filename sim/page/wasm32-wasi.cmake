# SPDX-License-Identifier: MIT
# For CMake: how the core and SUNDIALS are compiled to WebAssembly, with Debian's clang, lld and
# wasi-libc.
set(CMAKE_SYSTEM_NAME Generic)
set(CMAKE_SYSTEM_PROCESSOR wasm32)
set(CMAKE_SYSROOT /usr)
set(CMAKE_C_COMPILER clang)
set(CMAKE_C_COMPILER_TARGET wasm32-wasi)
# The optimiser looks across files at link time; its archives need LLVM's own tools.
set(CMAKE_AR llvm-ar)
set(CMAKE_RANLIB llvm-ranlib)
# As in the native program: no fused multiply-add, no errno after sqrt. SUNDIALS and <signal.h>
# name signals, which a page has none of.
set(CMAKE_C_FLAGS_RELEASE "-O3 -flto")
set(CMAKE_C_FLAGS_INIT "-ffp-contract=off -fno-math-errno -D_WASI_EMULATED_SIGNAL")
# No program can be run here to try the compiler.
set(CMAKE_TRY_COMPILE_TARGET_TYPE STATIC_LIBRARY)
set(CMAKE_FIND_ROOT_PATH_MODE_PROGRAM NEVER)
