// SPDX-License-Identifier: MIT
#include "study/study_ledger.h"

#include "base/ranks.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

// Files of other ranks are looked for up to this number.
enum { RANKS_MAX = 4096, PATH_SIZE = 4096 };

static void own_path(const struct study_ledger *ledger, size_t rank, char *path) {
    if (rank > 0) {
        snprintf(path, PATH_SIZE, "%s.%zu", ledger->study->checkpoint, rank);
    } else {
        snprintf(path, PATH_SIZE, "%s", ledger->study->checkpoint);
    }
}

static struct checkpoint_study file_study(const struct study_ledger *l) {
    const struct study *s = l->study;
    return (struct checkpoint_study){s->fingerprint, s->count, s->width};
}

static enum checkpoint_status open_file(struct study_ledger *l, size_t rank) {
    char path[PATH_SIZE];
    struct checkpoint_study study = file_study(l);
    own_path(l, rank, path);
    return checkpoint_open(&l->file, path, &study, l->result, l->done);
}

// What ranks of an earlier, killed run have left beside the file.
static enum checkpoint_status take_in_others(struct study_ledger *l) {
    char path[PATH_SIZE];
    struct checkpoint_study study = file_study(l);
    for (size_t rank = 1; rank < RANKS_MAX; rank++) {
        own_path(l, rank, path);
        if (access(path, F_OK) != 0) {
            continue;
        }
        enum checkpoint_status status =
            checkpoint_absorb(&l->file, path, &study, l->result, l->done);
        if (status != CHECKPOINT_READY) {
            return status;
        }
    }
    return CHECKPOINT_READY;
}

static enum checkpoint_status agree(struct study_ledger *l, enum checkpoint_status own) {
    enum checkpoint_status worst = (enum checkpoint_status)ranks_largest((int)own);
    if (worst != own) {
        snprintf(l->file.message, sizeof l->file.message,
                 "another rank cannot keep its finished points");
    }
    return worst;
}

enum checkpoint_status study_ledger_open(struct study_ledger *l) {
    const struct study *s = l->study;
    l->file.handle = -1;
    if (!s->checkpoint) {
        return CHECKPOINT_READY;
    }
    enum checkpoint_status status = CHECKPOINT_READY;
    if (ranks_first()) {
        status = open_file(l, 0);
        status = status == CHECKPOINT_READY ? take_in_others(l) : status;
    }
    status = agree(l, status);
    if (status == CHECKPOINT_READY) {
        ranks_share(l->done, s->count * sizeof *l->done);
        ranks_share(l->result, s->count * s->width * sizeof *l->result);
        status = agree(l, ranks_first() ? CHECKPOINT_READY : open_file(l, ranks_own()));
    }
    if (status != CHECKPOINT_READY) {
        checkpoint_close(&l->file);
    }
    return status;
}

bool study_ledger_add(struct study_ledger *l, size_t index) {
    l->done[index] = true;
    return l->file.handle < 0 ||
           checkpoint_add(&l->file, index, &l->result[index * l->study->width]);
}

// Each rank hands in the points that fall to it, as bytes, and gets those of all.
static void bring_together(struct study_ledger *l) {
    const struct study *s = l->study;
    size_t ranks = ranks_count();
    if (ranks == 1) {
        return;
    }
    for (size_t i = 0; i < s->count; i++) {
        if (i % ranks != ranks_own()) {
            memset(&l->result[i * s->width], 0, s->width * sizeof *l->result);
            l->done[i] = false;
        }
    }
    ranks_join(l->result, s->count * s->width * sizeof *l->result);
    ranks_join(l->done, s->count * sizeof *l->done);
}

// The first rank's file gets what the others have.
static bool keep_all(struct study_ledger *l, const bool *kept) {
    for (size_t i = 0; i < l->study->count; i++) {
        if (l->done[i] && !kept[i] && !study_ledger_add(l, i)) {
            return false;
        }
    }
    return true;
}

enum checkpoint_status study_ledger_close(struct study_ledger *l) {
    size_t size = l->study->count * sizeof *l->done;
    bool *kept = malloc(size + 1);
    if (kept) {
        memcpy(kept, l->done, size);
    }
    bring_together(l);
    bool fine = l->file.handle < 0 || !ranks_first() || (kept && keep_all(l, kept));
    bool open = l->file.handle >= 0;
    fine = checkpoint_close(&l->file) && fine;
    free(kept);
    enum checkpoint_status status = agree(l, fine ? CHECKPOINT_READY : CHECKPOINT_FAILED);
    if (open && status == CHECKPOINT_READY && !ranks_first()) {
        char path[PATH_SIZE];
        own_path(l, ranks_own(), path);
        unlink(path); // the first rank's file, which is on the disk, holds it all
    }
    return status;
}
