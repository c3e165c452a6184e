// SPDX-License-Identifier: MIT
// Balance, Hessenberg form, then QR steps with two shifts at once until the matrix falls apart into
// blocks of one and two rows. Sources: B. N. Parlett and C. Reinsch, Numer. Math. 13 (1969) 293
// (balancing); J. H. Wilkinson and C. Reinsch, Handbook for Automatic Computation II, Linear
// Algebra (1971), II/11 to II/14; G. H. Golub and C. F. Van Loan, Matrix Computations, 7.4 and 7.5.
#include "solve/eigenvalues.h"

#include <float.h>
#include <math.h>

enum {
    RADIX = 2,
    SWEEPS_MAX = 60, // for one eigenvalue; three are usual
    SWEEPS_STUCK = 10,
};

// Whether row or column i has nothing beside the diagonal in what is left.
static bool stands_alone(int n, const double *a, const int *left, int count, int i) {
    bool row = true, column = true;
    for (int k = 0; k < count; k++) {
        row = row && (left[k] == i || a[i * n + left[k]] == 0.0);
        column = column && (left[k] == i || a[left[k] * n + i] == 0.0);
    }
    return row || column;
}

// Rows and columns that stand alone give their diagonal as an eigenvalue without any rounding: what
// nothing drives, such as the mass of a vessel that is always refilled, keeps its exact zero. The
// rest moves together; returns its size, and the eigenvalues found stand behind it.
static int isolate(int n, double *a, double *real, double *imaginary) {
    int left[EIGENVALUES_MAX], count = n;
    for (int i = 0; i < n; i++) {
        left[i] = i;
    }
    for (int i = 0; i < count;) {
        int at = left[i];
        if (!stands_alone(n, a, left, count, at)) {
            i++;
            continue;
        }
        count--;
        real[count] = a[at * n + at];
        imaginary[count] = 0.0;
        for (int k = i; k < count; k++) {
            left[k] = left[k + 1];
        }
        i = 0; // another may stand alone now
    }
    for (int r = 0; r < count; r++) {
        for (int c = 0; c < count; c++) {
            a[r * count + c] = a[left[r] * n + left[c]]; // never ahead of what is still to be read
        }
    }
    return count;
}

// Scale row i by 1/f and column i by f, f a power of two, so that both weigh alike: no rounding,
// and metres and joules then stand on one scale. Repeats while a sum falls by a twentieth.
static void balance(int n, double *a) {
    for (bool again = true; again;) {
        again = false;
        for (int i = 0; i < n; i++) {
            double column = 0.0, row = 0.0, factor = 1.0;
            for (int k = 0; k < n; k++) {
                column += k == i ? 0.0 : fabs(a[k * n + i]);
                row += k == i ? 0.0 : fabs(a[i * n + k]);
            }
            if (column == 0.0 || row == 0.0) {
                continue; // nothing to weigh against
            }
            double before = column + row;
            for (; column < row / RADIX; column *= RADIX * RADIX) {
                factor *= RADIX;
            }
            for (; column >= row * RADIX; column /= RADIX * RADIX) {
                factor /= RADIX;
            }
            if ((column + row) / factor >= 0.95 * before) {
                continue;
            }
            again = true;
            for (int k = 0; k < n; k++) {
                a[i * n + k] /= factor;
                a[k * n + i] *= factor;
            }
        }
    }
}

// A mirror I - b v v' that turns x into (-+|x|, 0, ..., 0); v replaces x. b is 0 when x already is
// of that form.
static double mirror(int length, double *x) {
    double largest = 0.0, tail = 0.0;
    for (int i = 0; i < length; i++) {
        largest = fmax(largest, fabs(x[i]));
    }
    for (int i = 1; i < length; i++) {
        tail += fabs(x[i]);
    }
    if (tail == 0.0) {
        return 0.0;
    }
    double square = 0.0;
    for (int i = 0; i < length; i++) {
        x[i] /= largest; // so that no square runs out of range
        square += x[i] * x[i];
    }
    double norm = sqrt(square);
    double first = x[0];
    x[0] += copysign(norm, first); // the sign that cancels nothing
    return 1.0 / (norm * (norm + fabs(first)));
}

// A matrix, and the corner of it that is still at work: rows and columns low to high.
struct corner {
    int n, low, high;
    double *a;
};

// Apply the mirror to rows at, at + 1, ... from a column on.
static void mirror_rows(const struct corner *c, int at, int length, const double *v, double b,
                        int column) {
    for (int k = column; k <= c->high; k++) {
        double sum = 0.0;
        for (int i = 0; i < length; i++) {
            sum += v[i] * c->a[(at + i) * c->n + k];
        }
        for (int i = 0; i < length; i++) {
            c->a[(at + i) * c->n + k] -= b * sum * v[i];
        }
    }
}

// Apply it to the columns, down to a row.
static void mirror_columns(const struct corner *c, int at, int length, const double *v, double b,
                           int last_row) {
    for (int k = c->low; k <= last_row; k++) {
        double *row = c->a + k * c->n + at;
        double sum = 0.0;
        for (int i = 0; i < length; i++) {
            sum += v[i] * row[i];
        }
        for (int i = 0; i < length; i++) {
            row[i] -= b * sum * v[i];
        }
    }
}

// Zeros below the first subdiagonal, column by column.
static void hessenberg(int n, double *a) {
    const struct corner whole = {n, 0, n - 1, a};
    for (int k = 0; k + 2 < n; k++) {
        double v[EIGENVALUES_MAX];
        int length = n - k - 1;
        for (int i = 0; i < length; i++) {
            v[i] = a[(k + 1 + i) * n + k];
        }
        double b = mirror(length, v);
        if (b == 0.0) {
            continue;
        }
        mirror_rows(&whole, k + 1, length, v, b, k);
        mirror_columns(&whole, k + 1, length, v, b, n - 1);
        for (int i = 1; i < length; i++) {
            a[(k + 1 + i) * n + k] = 0.0;
        }
    }
}

// Sum and product of both shifts: the eigenvalues of the last two rows. Where these lead nowhere, a
// shift of the size of the last couplings starts another way (Wilkinson and Reinsch).
static void shifts(const struct corner *c, int sweep, double *sum, double *product) {
    const double *last = c->a + c->high * c->n + c->high - 1; // the last row's two
    const double *above = last - c->n;
    if (sweep % SWEEPS_STUCK == 0) {
        double size = fabs(last[0]) + fabs(above[-1]);
        *sum = 1.5 * size;
        *product = size * size;
        return;
    }
    *sum = above[0] + last[1];
    *product = above[0] * last[1] - above[1] * last[0];
}

// One step of the corner H with shifts s and t at once: the first column of (H - s)(H - t) has
// three entries; a mirror on them spoils the form, and mirrors down the diagonal mend it.
static void double_step(const struct corner *c, int sweep) {
    const int n = c->n, low = c->low, high = c->high;
    double *a = c->a, sum, product;
    shifts(c, sweep, &sum, &product);
    const double *h = a + low * n + low;
    double under = h[n];
    double v[3] = {h[0] * h[0] + h[1] * under - sum * h[0] + product,
                   under * (h[0] + h[n + 1] - sum), under * h[2 * n + 1]};
    for (int k = low; k < high; k++) {
        int length = k + 2 <= high ? 3 : 2;
        double b = mirror(length, v);
        if (b != 0.0) {
            mirror_rows(c, k, length, v, b, k > low ? k - 1 : low);
            mirror_columns(c, k, length, v, b, k + 3 < high ? k + 3 : high);
        }
        for (int i = 1; k > low && i < length; i++) {
            a[(k + i) * n + k - 1] = 0.0;
        }
        for (int i = 0; i < 3; i++) {
            v[i] = k + 1 + i <= high ? a[(k + 1 + i) * n + k] : 0.0;
        }
    }
}

// First row of the lowest corner that a negligible coupling cuts off above.
static int cut(int n, double *a, int high, double norm) {
    int low = high;
    for (; low > 0; low--) {
        double size = fabs(a[(low - 1) * n + low - 1]) + fabs(a[low * n + low]);
        if (fabs(a[low * n + low - 1]) <= DBL_EPSILON * (size > 0.0 ? size : norm)) {
            a[low * n + low - 1] = 0.0;
            break;
        }
    }
    return low;
}

// Both eigenvalues of a block of two rows: those of x^2 - 2 p x - bc about its last entry d.
static void take_pair(int n, const double *block, double *real, double *imaginary) {
    double d = block[n + 1], p = 0.5 * (block[0] - d), bc = block[1] * block[n];
    double discriminant = p * p + bc;
    if (discriminant < 0.0) {
        real[0] = real[1] = d + p;
        imaginary[0] = sqrt(-discriminant);
        imaginary[1] = -imaginary[0];
        return;
    }
    double far = p + copysign(sqrt(discriminant), p); // the root that cancels nothing
    real[0] = d + far;
    real[1] = far != 0.0 ? d - bc / far : d;
    imaginary[0] = imaginary[1] = 0.0;
}

bool eigenvalues_qr(int rows, double *a, double *real, double *imaginary) {
    double norm = 0.0;
    for (int i = 0; i < rows * rows; i++) {
        norm += fabs(a[i]);
    }
    if (rows > EIGENVALUES_MAX || !isfinite(norm)) {
        return false;
    }
    int n = isolate(rows, a, real, imaginary);
    balance(n, a);
    hessenberg(n, a);
    int sweep = 0;
    for (struct corner c = {n, 0, n - 1, a}; c.high >= 0;) {
        c.low = cut(n, a, c.high, norm);
        if (c.low + 1 < c.high) {
            if (++sweep > SWEEPS_MAX) {
                return false;
            }
            double_step(&c, sweep);
            continue;
        }
        if (c.low == c.high) {
            real[c.low] = a[c.low * n + c.low];
            imaginary[c.low] = 0.0;
        } else {
            take_pair(n, a + c.low * n + c.low, real + c.low, imaginary + c.low);
        }
        c.high = c.low - 1;
        sweep = 0;
    }
    return true;
}
