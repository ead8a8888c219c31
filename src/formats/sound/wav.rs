//! The RIFF WAVE container: a header of 44 bytes, then samples of 16 bits, left and right in turn.

/// Writes two channels as a file; samples lie between -1 and 1.
pub(super) fn file(channels: &[Vec<f32>; 2], rate: u32) -> Vec<u8> {
    let [left, right] = channels;
    let data: Vec<u8> = left
        .iter()
        .zip(right)
        .flat_map(|(left, right)| [*left, *right])
        .flat_map(|sample| sixteen(sample).to_le_bytes())
        .collect();
    let length = u32::try_from(data.len()).unwrap_or(u32::MAX);
    let mut file = Vec::with_capacity(44 + data.len());
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
    file.extend(data);
    file
}

fn sixteen(sample: f32) -> i16 {
    (sample.clamp(-1.0, 1.0) * f32::from(i16::MAX)).round() as i16
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_header_says_what_follows() {
        let file = file(&[vec![0.0, 1.0], vec![-1.0, 0.5]], 44_100);
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
