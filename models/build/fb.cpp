// Forward-backward passes of lattice-free MMI for one-state phones.
// Phone b emits column 2b on its first frame and column 2b+1 on later frames.
// Build: g++ -O3 -march=native -ffast-math -fno-finite-math-only -fopenmp -shared -fPIC fb.cpp -o fb.so
#include <cmath>
#include <cstdint>
#include <vector>
#include <algorithm>
typedef int64_t i64;

static bool numerator(const float* o, int T, int D, int S, const i64* phone, const i64* po, const i64* pred,
                      const i64* start, const i64* fin, const i64* lo, const i64* hi, double* score, float* g) {
    std::vector<double> al((size_t)T * S), e((size_t)T * S * 2), be(S), nb(S);
    double tot = 0;
    for (int t = 0; t < T; t++) {
        const float* x = o + (size_t)t * D;
        float m = -1e30f;
        for (int s = 0; s < S; s++) if (t >= lo[s] && t <= hi[s]) m = std::max(m, std::max(x[2 * phone[s]], x[2 * phone[s] + 1]));
        tot += m;
        double z = 0;
        for (int s = 0; s < S; s++) {
            bool in = t >= lo[s] && t <= hi[s];
            double f = in ? std::exp((double)x[2 * phone[s]] - m) : 0, l = in ? std::exp((double)x[2 * phone[s] + 1] - m) : 0, v;
            e[((size_t)t * S + s) * 2] = f; e[((size_t)t * S + s) * 2 + 1] = l;
            if (t == 0) v = start[s] * f;
            else {
                v = 0;
                const double* a = &al[(size_t)(t - 1) * S];
                for (i64 k = po[s]; k < po[s + 1]; k++) v += a[pred[k]];
                v = v * f + a[s] * l;
            }
            al[(size_t)t * S + s] = v; z += v;
        }
        if (!(z > 1e-280)) return false;
        for (int s = 0; s < S; s++) al[(size_t)t * S + s] /= z;
        tot += std::log(z);
    }
    double z = 0;
    for (int s = 0; s < S; s++) z += al[(size_t)(T - 1) * S + s] * fin[s];
    if (!(z > 1e-280)) return false;
    *score = tot + std::log(z);
    for (int s = 0; s < S; s++) be[s] = fin[s] / z;
    for (int t = T - 1; t >= 0; t--) {
        float* gr = g + (size_t)t * D;
        if (t == 0) {
            for (int s = 0; s < S; s++) gr[2 * phone[s]] += (float)(al[s] * be[s]);
            break;
        }
        const double* a = &al[(size_t)(t - 1) * S];
        double zz = 0;
        std::fill(nb.begin(), nb.end(), 0.0);
        std::vector<double> in(S);
        for (int s = 0; s < S; s++) {
            double v = 0;
            for (i64 k = po[s]; k < po[s + 1]; k++) v += a[pred[k]];
            in[s] = v;
            zz += (v * e[((size_t)t * S + s) * 2] + a[s] * e[((size_t)t * S + s) * 2 + 1]) * be[s];
        }
        if (!(zz > 1e-290)) return false;
        for (int s = 0; s < S; s++) {
            if (be[s] == 0) continue;
            double x = e[((size_t)t * S + s) * 2] * be[s] / zz, y = e[((size_t)t * S + s) * 2 + 1] * be[s] / zz;
            for (i64 k = po[s]; k < po[s + 1]; k++) nb[pred[k]] += x;
            nb[s] += y;
            gr[2 * phone[s]] += (float)(in[s] * x);
            gr[2 * phone[s] + 1] += (float)(a[s] * y);
        }
        be.swap(nb);
    }
    return true;
}

static void denominator(const float* o, int T, int D, int n, const float* A, const float* init, const float* fin,
                        double* score, float* g) {
    std::vector<double> al((size_t)T * n), in((size_t)T * n), f((size_t)T * n), l((size_t)T * n), be(n), x(n), nb(n);
    double tot = 0;
    for (int t = 0; t < T; t++) {
        const float* y = o + (size_t)t * D;
        float m = y[0];
        for (int k = 1; k < D; k++) m = std::max(m, y[k]);
        tot += m;
        double *F = &f[(size_t)t * n], *L = &l[(size_t)t * n], *a1 = &al[(size_t)t * n], *I = &in[(size_t)t * n];
        for (int s = 0; s < n; s++) { F[s] = std::exp((double)y[2 * s] - m); L[s] = std::exp((double)y[2 * s + 1] - m); }
        if (t == 0) for (int s = 0; s < n; s++) { I[s] = init[s]; a1[s] = init[s] * F[s]; }
        else {
            const double* a0 = &al[(size_t)(t - 1) * n];
            for (int s = 0; s < n; s++) I[s] = 0;
            for (int p = 0; p < n; p++) {
                double a = a0[p];
                if (a < 1e-60) continue;
                const float* Ap = A + p * n;
                for (int s = 0; s < n; s++) I[s] += a * Ap[s];
            }
            for (int s = 0; s < n; s++) a1[s] = I[s] * F[s] + a0[s] * L[s];
        }
        double z = 1e-300;
        for (int s = 0; s < n; s++) z += a1[s];
        for (int s = 0; s < n; s++) a1[s] /= z;
        tot += std::log((double)z);
    }
    double z = 1e-300;
    for (int s = 0; s < n; s++) z += al[(size_t)(T - 1) * n + s] * fin[s];
    *score = tot + std::log((double)z);
    for (int s = 0; s < n; s++) be[s] = fin[s] / z;
    for (int t = T - 1; t > 0; t--) {
        const double *F = &f[(size_t)t * n], *L = &l[(size_t)t * n], *a0 = &al[(size_t)(t - 1) * n], *I = &in[(size_t)t * n];
        float* gr = g + (size_t)t * D;
        for (int s = 0; s < n; s++) x[s] = F[s] * be[s];
        double zz = 1e-300;
        for (int p = 0; p < n; p++) {
            const float* Ap = A + p * n;
            double v = 0;
            for (int s = 0; s < n; s++) v += Ap[s] * x[s];
            nb[p] = v + L[p] * be[p];
            zz += nb[p] * a0[p];
        }
        for (int s = 0; s < n; s++) {
            gr[2 * s] -= I[s] * x[s] / zz;
            gr[2 * s + 1] -= a0[s] * L[s] * be[s] / zz;
        }
        for (int s = 0; s < n; s++) be[s] = nb[s] / zz;
    }
    for (int s = 0; s < n; s++) g[2 * s] -= al[s] * be[s];
}

extern "C" void lfmmi(const float* out, i64 B, i64 T, i64 D, const i64* so, const i64* phone, const i64* po,
                      const i64* pred, const i64* start, const i64* fin, const i64* lo, const i64* hi, const i64* skip, i64 n, const float* A, const float* init,
                      const float* dfin, double* num, double* den, float* grad) {
#pragma omp parallel for schedule(dynamic)
    for (i64 b = 0; b < B; b++) {
        float* g0 = grad + b * T * D;
        std::fill(g0, g0 + T * D, 0.f);
        i64 k = std::min(skip[b], T - 1), Tb = T - k, s0 = so[b];
        const float* o = out + (b * T + k) * D;
        float* g = g0 + k * D;
        bool ok = numerator(o, Tb, D, so[b + 1] - s0, phone + s0, po + s0, pred, start + s0, fin + s0, lo + s0, hi + s0, num + b, g);
        if (ok) denominator(o, Tb, D, n, A, init, dfin, den + b, g);
        else { num[b] = -1e30; std::fill(g0, g0 + T * D, 0.f); }
    }
}
