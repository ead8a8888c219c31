//! The RIFF WAVE container: a header of 44 bytes, then samples of 16 bits, left and right in turn.

/// The beginning of a file of so many samples in each of its two channels, with room for the rest.
pub(super) fn begun(samples: usize, rate: u32) -> Vec<u8> {
    let bytes = samples.saturating_mul(4);
    let length = u32::try_from(bytes).unwrap_or(u32::MAX);
    let mut file = Vec::with_capacity(bytes.saturating_add(44));
    file.extend(b"RIFF");
    file.extend((length.saturating_add(36)).to_le_bytes());
    file.extend(b"WAVEfmt ");
    file.extend(16_u32.to_le_bytes());
    // 1 is plain samples; 2 channels.
    file.extend([1_u16, 2].iter().flat_map(|value| value.to_le_bytes()));
    file.extend(
        [rate, rate * 4]
            .iter()
            .flat_map(|value| value.to_le_bytes()),
    );
    // 4 bytes a moment, 16 bits a sample.
    file.extend([4_u16, 16].iter().flat_map(|value| value.to_le_bytes()));
    file.extend(b"data");
    file.extend(length.to_le_bytes());
    file
}

/// Adds samples, each times the factor: then they lie between -1 and 1.
pub(super) fn add(file: &mut Vec<u8>, channels: &[Vec<f32>; 2], factor: f32) {
    let [left, right] = channels;
    let moments = left.iter().zip(right);
    let samples = moments.flat_map(|(left, right)| [*left, *right]);
    file.extend(samples.flat_map(|sample| sixteen(sample * factor).to_le_bytes()));
}

fn sixteen(sample: f32) -> i16 {
    (sample.clamp(-1.0, 1.0) * f32::from(i16::MAX)).round() as i16
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_header_says_what_follows() {
        let mut file = begun(2, 44_100);
        add(&mut file, &[vec![0.0, 2.0], vec![-2.0, 1.0]], 0.5);
        assert_eq!(file.len(), 44 + 8);
        assert_eq!(&file[..4], b"RIFF");
        assert_eq!(
            u32::from_le_bytes(file[4..8].try_into().unwrap()) as usize,
            file.len() - 8
        );
        assert_eq!(u32::from_le_bytes(file[24..28].try_into().unwrap()), 44_100);
        assert_eq!(&file[44..], [0, 0, 1, 128, 255, 127, 0, 64]);
    }
}
