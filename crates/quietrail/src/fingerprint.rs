//! A number that tells texts from each other.

/// FNV-1a with 64 bits (Fowler, Noll and Vo; draft-eastlake-fnv): the same on every machine and in every release.
pub(crate) struct Fnv(pub(crate) u64);

impl Default for Fnv {
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl Fnv {
    /// Takes a text, and that it ends here.
    pub(crate) fn take(&mut self, text: &str) {
        for byte in text.bytes().chain([0xff]) {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Fnv;

    /// The draft's test vector of "foobar", before the end mark.
    #[test]
    fn a_published_value() {
        let mut hash = Fnv::default();
        for byte in b"foobar" {
            hash.0 = (hash.0 ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        }
        assert_eq!(hash.0, 0x8594_4171_f739_67e8);
        let (mut one, mut other) = (Fnv::default(), Fnv::default());
        ["ab", "c"].into_iter().for_each(|text| one.take(text));
        ["a", "bc"].into_iter().for_each(|text| other.take(text));
        assert_ne!(one.0, other.0);
    }
}
