// SPDX-License-Identifier: MIT
// Files of finished points. The first byte says whether the bytes are the file as it stands, or
// stand behind a header that fits the study; and whether records get the checksums that they should
// have.
#include "fuzz.h"

#include "base/fingerprint.h"
#include "study/checkpoint.h"

enum { COUNT = 5, WIDTH = 2, RECORD = 16 + 8 * WIDTH, HEADER = 48, ROOM = 4096 };

static const struct checkpoint_study asked = {0x1234, COUNT, WIDTH};

// The header as the program itself writes it.
static void header(uint8_t bytes[HEADER]) {
    static struct fuzz_file file;
    double result[COUNT * WIDTH] = {0};
    bool done[COUNT] = {0};
    struct checkpoint c;
    fuzz_file_fill(&file, "", 0);
    fuzz_require(checkpoint_open(&c, file.path, &asked, result, done) == CHECKPOINT_READY);
    fuzz_require(checkpoint_close(&c));
    fuzz_require(pread(file.handle, bytes, HEADER, 0) == HEADER);
}

static size_t make(const uint8_t *data, size_t size, uint8_t file[ROOM]) {
    const uint8_t how = data[0];
    size_t length = 0;
    if (how & 1) {
        header(file);
        length = HEADER;
    }
    for (size_t i = 1; i < size && length < ROOM; i++) {
        file[length++] = data[i];
    }
    for (size_t at = HEADER; (how & 2) && at + RECORD <= length; at += RECORD) {
        if (how & 4) { // a point that there is
            memset(file + at + 1, 0, 7);
            file[at] = (uint8_t)(file[at] % COUNT);
        }
        const uint64_t sum = fingerprint_bytes(FINGERPRINT_START, file + at, RECORD - 8);
        memcpy(file + at + RECORD - 8, &sum, sizeof sum);
    }
    return length;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static struct fuzz_file file;
    static uint8_t bytes[ROOM];
    if (size == 0) {
        return 0;
    }
    fuzz_file_fill(&file, bytes, make(data, size, bytes));
    double result[COUNT * WIDTH], again[COUNT * WIDTH];
    bool done[COUNT] = {0}, done_again[COUNT] = {0};
    memset(result, 0, sizeof result);
    memset(again, 0, sizeof again);
    struct checkpoint c;
    const enum checkpoint_status status = checkpoint_open(&c, file.path, &asked, result, done);
    if (status != CHECKPOINT_READY) { // the file of somebody else's: as it was
        fuzz_require(c.message[0] != '\0' && c.handle < 0);
        fuzz_require(lseek(file.handle, 0, SEEK_END) == (off_t)make(data, size, bytes));
        return 0;
    }
    // A point that is added is there when the file is opened again, and so are those before it.
    result[2 * WIDTH] = 0.5;
    result[2 * WIDTH + 1] = -1.0;
    done[2] = true;
    fuzz_require(checkpoint_add(&c, 2, &result[2 * WIDTH]) && checkpoint_close(&c));
    fuzz_require(checkpoint_open(&c, file.path, &asked, again, done_again) == CHECKPOINT_READY);
    fuzz_require(checkpoint_close(&c));
    fuzz_require(memcmp(done, done_again, sizeof done) == 0);
    fuzz_require(memcmp(result, again, sizeof result) == 0);
    return 0;
}
