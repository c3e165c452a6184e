// SPDX-License-Identifier: MIT
#include "maths/student.h"

#include <math.h>

#define PI 3.14159265358979323846

// With theta = atan(t/sqrt(n)): for odd n, 2/pi (theta + sin cos (1 + 2/3 cos^2 + 2.4/3.5 cos^4
// ...)); for even n, sin (1 + 1/2 cos^2 + 1.3/2.4 cos^4 ...); up to the power n - 3 and n - 2.
// M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions (1964), 26.7.3 and 26.7.4.
double student_within(double t, long freedom) {
    const double theta = atan(t / sqrt((double)freedom));
    const double square = cos(theta) * cos(theta);
    const int odd = freedom % 2 != 0;
    double term = 1.0;
    double sum = 0.0;
    for (long k = odd ? 3 : 2; k <= freedom; k += 2) {
        sum += term;
        term *= square * ((double)k - 1.0) / (double)k;
    }
    return odd ? 2.0 / PI * (theta + sin(theta) * cos(theta) * sum) : sin(theta) * sum;
}

double student_quantile(double share, long freedom) {
    double low = 0.0;
    double high = 1.0;
    while (student_within(high, freedom) < share && high < 1e12) {
        low = high;
        high *= 2.0;
    }
    for (int i = 0; i < 80; i++) {
        const double middle = 0.5 * (low + high);
        *(student_within(middle, freedom) < share ? &low : &high) = middle;
    }
    return 0.5 * (low + high);
}
